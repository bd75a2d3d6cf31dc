import { afterEach, expect, test } from 'vitest';
import { settings } from '../src/models/settings';
import { length, shownLength, toMm } from '../src/units/length';
import { pressure } from '../src/units/pressure';
import { toGrams, weight } from '../src/units/weight';
import { temp, toCelsius } from '../src/units/temperature';

const METRIC = settings.peek();

afterEach(() => {
  settings.value = METRIC;
});

function imperial(): void {
  settings.value = { ...METRIC, temperature: 'F', length: 'in', weight: 'oz', pressure: 'psi' };
}

test('a length is told in millimetres, or in inches as a rule is divided', () => {
  expect(length(28)).toBe('28 mm');
  imperial();
  expect([25.4, 28, 19.05, 12.7, 0, 0.3, 304.8].map((mm) => length(mm))).toEqual([
    '1 in',
    '1 3/32 in',
    '3/4 in',
    '1/2 in',
    '0 in',
    '0 in',
    '12 in',
  ]);
});

test('a part that rounds up to a whole inch is a whole inch', () => {
  imperial();
  expect(length(25.39)).toBe('1 in');
});

test('a length is read as people write it', () => {
  expect([toMm('28'), toMm('1,5'), toMm(' 3.25 ')]).toEqual([28, 1.5, 3.25]);
  imperial();
  expect(toMm('1 1/2')).toBeCloseTo(38.1, 9);
  expect(toMm('3/4')).toBeCloseTo(19.05, 9);
  expect(toMm('2')).toBeCloseTo(50.8, 9);
});

test('a length is shown as it would be typed, and read back the same', () => {
  expect([28, 1.5].map(shownLength)).toEqual(['28', '1.5']);
  imperial();
  expect([27.78125, 38.1, 50.8].map(shownLength)).toEqual(['1 3/32', '1 1/2', '2']);
  for (const mm of [27.78125, 38.1, 50.8]) expect(toMm(shownLength(mm))).toBeCloseTo(mm, 9);
});

test('what is no length is none', () => {
  expect(['', 'x', '1/0', '1 2', '-3', '1//2', '/2'].map(toMm)).toEqual(Array(7).fill(NaN));
});

test('a weight, a pressure and a temperature follow the same person', () => {
  expect([weight(180), pressure(700), temp(20)]).toEqual(['180 g', '0.70 MPa', '20.0 °C']);
  imperial();
  expect([weight(180), pressure(700), temp(20)]).toEqual(['6.3 oz', '102 psi', '68.0 °F']);
  expect(toGrams(1)).toBeCloseTo(28.3495, 3);
  expect(toCelsius(68)).toBeCloseTo(20, 9);
});
