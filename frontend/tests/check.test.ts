import { beforeEach, expect, test } from 'vitest';
import { spreadSaid } from '../src/models/again';
import { carriedFrom, isStressed } from '../src/models/carried';
import {
  coat,
  coatDescribed,
  cut,
  described,
  due,
  hands,
  hoursFrom,
  wood,
  woods,
} from '../src/models/check';
import { settings } from '../src/models/settings';
import { keep } from '../src/store/kept';
import { toMm } from '../src/units/length';
import { freshStore } from './fresh-store';
import { gate, group, view } from './shed';

beforeEach(async () => {
  await freshStore();
  hands.value = wood.value = coat.value = {};
  woods.value = new Set();
  cut.value = { h: '', at: '' };
  due.value = '';
});

test('what nobody said is not asked about', () => {
  expect(described()).toEqual({});
  expect(coatDescribed(4)).toEqual({ coats: 1 });
});

test('wood and press go along as far as they are known', () => {
  wood.value = { thickness_mm: 28, moisture_pct: 11, other_pct: 9.6, outer_mm: 24, mix_g: 180 };
  woods.value = new Set(['plum']);
  expect(described()).toEqual({
    wood: { woods: ['plum'], moistures_pct: [11, 9.6], thickness_mm: 28 },
    press: { outer_mm: 24 },
    mix_g: 180,
  });
});

test('when the faces were cut does not wander while the question stands', () => {
  cut.value = hoursFrom('4', -1);
  const first = JSON.stringify(described());
  expect(JSON.stringify(described())).toBe(first);
});

test('the area of a coat is that of every piece, and a date needs the minutes', () => {
  coat.value = { area_m2: 0.25, coats: 2 };
  due.value = '2026-02-14T17:00';
  expect(coatDescribed(6)).toEqual({
    coats: 2,
    areas: [{ area_m2: 0.25, pieces: 6, coats: 2 }],
  });
  coat.value = { ...coat.value, minutes: 30 };
  expect(coatDescribed(6)).toMatchObject({ minutes: 30, due: '2026-02-14T17:00:00.000Z' });
});

test('lengths are typed in the person’s own unit', () => {
  settings.value = { ...settings.value, length: 'in' };
  expect(toMm('1 1/2')).toBeCloseTo(38.1);
  settings.value = { ...settings.value, length: 'mm' };
  expect(toMm('38,1')).toBeCloseTo(38.1);
});

test('the same again ties up what the last load did, as the ledger has it', async () => {
  const holders = [
    { group: 'g1', count: 3 },
    { group: 'g2', count: 2 },
  ];
  await keep('ledger', { lines: [{ thing: 'F', holders }] });
  expect(await carriedFrom('g1')).toEqual({ things: [{ thing: 'F', count: 3 }] });
  expect(await carriedFrom('g3')).toEqual({});
  await keep('carried', { g1: { thickness_mm: 28 } });
  expect(await carriedFrom('g1')).toEqual({ thickness_mm: 28 });
});

test('a bend stays a bend, and its thickness goes with each joint', () => {
  expect(isStressed(group({ gates: [gate('clamps_off_stressed', null)] }))).toBe(true);
  expect(isStressed(group())).toBe(false);
  const pieces = view().pieces.slice(0, 2);
  const said = spreadSaid({ name: 'x', label: 'l', place: 'p', pieces, thickness_mm: 28 });
  expect((said.joints as object[]).every((one) => 'thickness_mm' in one)).toBe(true);
});
