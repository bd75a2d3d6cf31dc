import { expect, test } from 'vitest';
import { actingFigure, airStrip, clip, stripOf } from '../src/models/strip';
import { nightsIn } from '../src/models/nights';
import { at, gate, group, view } from './shed';

const ms = (clock: string, day = '05') => Date.parse(at(clock, day));
const place = view().places[0]!;

test('what opens acts at not before, what can hurt at sure, what closes at not after', () => {
  const more = { acts: { first: at('11:00'), last: at('12:00') }, sure: at('15:00') };
  expect(actingFigure(gate('light', null, more))).toBe(at('12:00'));
  expect(actingFigure(gate('spin', null, { ...more, hurts: true }))).toBe(at('15:00'));
  expect(actingFigure(gate('recoat_closes', null, { ...more, opens: false }))).toBe(at('11:00'));
});

test('the soft edge runs from bare to the figure that acts, and never backwards', () => {
  const spin = gate('spin', at('12:00'), { hurts: true, sure: at('18:00') });
  const late = gate('light', at('11:00'), { bare: at('11:30') });
  const strip = stripOf(group({ gates: [spin, late] }), place, 10, ms('10:00'));
  expect(strip.marks.map((mark) => [mark.bare_ms, mark.acts_ms])).toEqual([
    [ms('12:00'), ms('18:00')],
    [ms('11:00'), ms('11:00')],
  ]);
});

test('a gate out of reach, done with, or watched by the server alone has no mark', () => {
  const gates = [
    gate('light', null),
    gate('clamps_off', at('09:30'), { over: true }),
    gate('keep_warm', at('11:00')),
  ];
  expect(stripOf(group({ gates }), place, null, ms('10:00')).marks).toEqual([]);
});

test('a strip holds now, however long the wait has been', () => {
  const old = group({ began_at: at('09:00', '01'), gates: [gate('light', at('13:00', '01'))] });
  const now = ms('10:00', '20');
  const strip = stripOf(old, place, null, now);
  expect(strip.from_ms).toBeLessThan(now);
  expect(strip.to_ms).toBeGreaterThan(now);
  expect(strip.to_ms - strip.from_ms).toBeLessThan(5 * 24 * 3_600_000);
  expect(strip.marks).toHaveLength(1);
});

test('a gate far ahead does not squeeze the night out of sight', () => {
  const gates = [gate('light', at('14:00')), gate('final_surfacing', at('09:00', '20'))];
  const strip = stripOf(group({ gates }), place, null, ms('10:00'));
  expect(strip.to_ms).toBeLessThan(ms('20:00'));
});

test('air is drawn to both edges, and what lies ahead of the last word is a guess', () => {
  const air = airStrip(
    {
      ...place,
      recent: [
        [at('00:00'), 4, 'measured'],
        [at('09:00'), 10, 'measured'],
      ],
      expected: [
        [at('08:30'), 99, null],
        [at('11:00'), 14, null],
      ],
    },
    ms('10:00'),
  ).air;
  expect(air.map((one) => [one.temp_c, one.assumed])).toEqual([
    [4, false],
    [10, false],
    [14, true],
  ]);
  const line = clip(air, ms('04:30'), ms('10:00'));
  expect(line.map((one) => one.temp_c)).toEqual([7, 10, 12]);
});

test('nights are the shop’s own, cut to what is shown', () => {
  expect(nightsIn(ms('18:00'), ms('02:00', '06'))).toEqual([[ms('20:00'), ms('02:00', '06')]]);
  expect(nightsIn(ms('09:00'), ms('19:00'))).toEqual([]);
});
