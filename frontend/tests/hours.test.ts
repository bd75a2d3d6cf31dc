import { expect, test } from 'vitest';
import { fold } from '../src/models/fold';
import { changed, daysOf, stretches } from '../src/models/hours';
import { weekdayName } from '../src/words/times';
import { tap, view } from './shed';

const WEEK = daysOf({ '1': ['08:00', '18:00'], '0': ['08:00', '18:00'], '5': ['09:00', '13:00'] });

test('days on end with the same hours are said together', () => {
  expect(stretches(WEEK)).toEqual([
    { from: 0, until: 1, comes: '08:00', goes: '18:00' },
    { from: 5, until: 5, comes: '09:00', goes: '13:00' },
  ]);
});

test('only the days that were chosen change, and may be free', () => {
  const later = { comes: '10:00', goes: '16:00' };
  expect(changed(WEEK, new Set([1, 2]), later).map((one) => [one.weekday, one.comes])).toEqual([
    [0, '08:00'],
    [1, '10:00'],
    [2, '10:00'],
    [5, '09:00'],
  ]);
  expect(changed(WEEK, new Set([0, 1, 5]), undefined)).toEqual([]);
});

test('the first day is a Monday', () => {
  expect([weekdayName(0), weekdayName(6)]).toEqual(['Mon', 'Sun']);
});

test('what was told of the shop is shown before the server has heard of it; the rest still holds', () => {
  const said = { hours: [{ weekday: 2, comes: '07:00', goes: '15:00' }] };
  const shown = fold(view(), [tap('shop_told', said)]).workshop;
  expect(shown.hours).toEqual({ '2': ['07:00', '15:00'] });
  expect([shown.name, shown.home_time]).toEqual(['Shed', '18:00:00']);
});
