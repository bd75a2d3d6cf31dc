import { expect, test, vi } from 'vitest';
import { inShopTime, minutesSince, skew_ms } from '../src/models/clock';
import {
  alarmsOf,
  callsBetween,
  countdown,
  pressing,
  ruling,
  stageOf,
} from '../src/models/glue-clock';
import { at, gate, group } from './shed';

const closing = (kind: string, when: string) => gate(kind, when, { opens: false });
const spreading = group({
  state: 'spreading',
  gates: [closing('open_time', at('10:05')), closing('total_assembly', at('10:12'))],
});
const ms = (clock: string, seconds = 0) => Date.parse(at(clock)) + seconds * 1000;

test('open time and assembly time run while glue is being spread', () => {
  expect(alarmsOf([spreading]).map((one) => one.kind)).toEqual(['open_time', 'total_assembly']);
  expect(alarmsOf([{ ...spreading, state: 'closed' }]).map((one) => one.kind)).toEqual([
    'total_assembly',
  ]);
  expect(alarmsOf([{ ...spreading, state: 'pressed' }])).toEqual([]);
});

test('it counts at two minutes, one, a half and nought, each once', () => {
  const alarms = alarmsOf([spreading]).slice(0, 1);
  const calls: number[] = [];
  for (let second = 0; second < 360; second += 1) {
    const found = callsBetween(alarms, ms('10:00', second - 1), ms('10:00', second));
    calls.push(...found.map((call) => call.left_s));
  }
  expect(calls).toEqual([120, 60, 30, 0]);
});

test('a page that slept through several calls makes only the last', () => {
  const alarms = alarmsOf([spreading]).slice(0, 1);
  expect(callsBetween(alarms, ms('10:00'), ms('10:04', 10)).map((call) => call.left_s)).toEqual([
    60,
  ]);
});

test('the next to run out is shown, and after the last that one', () => {
  const alarms = alarmsOf([spreading]);
  expect(ruling(alarms, 'g1', ms('10:04'))?.kind).toBe('open_time');
  expect(ruling(alarms, 'g1', ms('10:06'))?.kind).toBe('total_assembly');
  expect(ruling(alarms, 'g1', ms('10:20'))?.kind).toBe('total_assembly');
  expect(ruling(alarms, 'another', ms('10:20'))).toBeUndefined();
});

test('the screen is kept awake from half an hour before to ten minutes after', () => {
  const alarms = alarmsOf([spreading]);
  expect(pressing(alarms, ms('09:00'))).toEqual([]);
  expect(pressing(alarms, ms('10:00'))).toHaveLength(2);
  expect(pressing(alarms, ms('10:30'))).toEqual([]);
});

test.each([
  [121, 'plenty'],
  [120, 'two'],
  [60, 'one'],
  [30, 'half'],
  [1, 'half'],
  [0, 'over'],
  [-5, 'over'],
] as const)('with %i seconds left it looks like %s', (left_s, stage) => {
  expect(stageOf(left_s)).toBe(stage);
});

test.each([
  [125_000, '2:05'],
  [999, '0:00'],
  [0, '0:00'],
  [-12_000, '−0:12'],
])('%i ms left is written %s', (left_ms, text) => {
  expect(countdown(left_ms)).toBe(text);
});

test('an hour that was typed arrives as typed from a phone whose clock is wrong', () => {
  vi.useFakeTimers({ now: Date.parse('2026-02-05T10:00:00Z') });
  skew_ms.value = 10 * 60_000; // it is ten minutes behind
  const read_at = '2026-02-05T07:10:00.000Z';
  const min_ago = minutesSince(Date.parse(read_at));
  const kept_at = new Date(Date.now() - min_ago * 60_000).toISOString(); // as `tell` keeps it
  expect([min_ago, inShopTime(kept_at)]).toEqual([180, read_at]);
  skew_ms.value = 0;
  vi.useRealTimers();
});
