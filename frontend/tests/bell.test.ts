import { expect, test } from 'vitest';
import { inShopHours, newlyDue } from '../src/models/bell';
import { NOTHING } from '../src/models/lines';
import { at, line, view } from './shed';

test('of the first look nothing is said', () => {
  expect(newlyDue(undefined, { ...NOTHING, may: [line('clamps_off')] })).toEqual([]);
});

test('what becomes due is said once, and what was known is not', () => {
  const before = { ...NOTHING, may: [line('clamps_off')] };
  const after = { ...NOTHING, may: [line('clamps_off'), line('light')], not_yet: [line('spin')] };
  expect(newlyDue(before, after).map((one) => one.act)).toEqual(['light']);
  expect(newlyDue(after, after)).toEqual([]);
});

test('nobody is rung before the shop opens or after it goes home', () => {
  const shop = { ...view().workshop, hours: { 0: ['08:00', '18:00'] } };
  const rings = (clock: string) => inShopHours(shop, Date.parse(at(clock)));
  expect([rings('07:59'), rings('08:00'), rings('17:59'), rings('19:00'), rings('03:00')]).toEqual([
    false,
    true,
    true,
    false,
    false,
  ]);
});
