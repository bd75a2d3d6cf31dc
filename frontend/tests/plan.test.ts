import { expect, test } from 'vitest';
import { nowFor, tide, woodAfter, type Act, type Plan } from '../src/models/plan';
import { emptyStep, gatesOf, nameTaken, routeSaid } from '../src/models/route';
import type { Material } from '../src/models/view';

const HOUR_MS = 3_600_000;
const at = (hour: number) => new Date(hour * HOUR_MS).toISOString();
const batch = { id: 'b', name: 'boxes' };
const cure = (from: number, to: number, pieces: number) => ({
  batch,
  step: 'glue',
  gate: 'heavy',
  pieces,
  from: at(from),
  to: at(to),
});

test('the hill rises by the pieces that begin to wait and falls when they are past', () => {
  expect(tide([cure(1, 3, 2), cure(2, 5, 4)], 0, 10 * HOUR_MS)).toEqual([
    [0, 0],
    [1 * HOUR_MS, 2],
    [2 * HOUR_MS, 6],
    [3 * HOUR_MS, 4],
    [5 * HOUR_MS, 0],
  ]);
});

test('what began before the strip is there from its left edge, and what lasts is cut at its right', () => {
  expect(tide([cure(-5, 30, 3)], 0, 10 * HOUR_MS)).toEqual([
    [0, 3],
    [10 * HOUR_MS, 0],
  ]);
});

const act = (step: string, begun: boolean): Act => ({
  batch,
  step,
  first: 1,
  pieces: 1,
  starts: at(1),
  hands_free: at(2),
  ends: at(2),
  people: ['p'],
  machine: '',
  begun,
  late: false,
  rules: false,
  why: { key: 'next', name: '', at: null },
});

test('now is what these hands are at, and the next act that nobody has begun', () => {
  const own = {
    person: { id: 'p', name: 'Maker' },
    day: null,
    now: 0,
    today: [act('glue', true), act('turn', false)],
    before_home: [],
    idle: [],
    there: [],
  };
  const going = { go: 'g', batch, step: 'glue', pieces: 1, people: ['p'], began: at(1) };
  const told = {
    under_way: [going, { ...going, go: 'h', people: ['q'] }],
  } as unknown as Plan;
  const now = nowFor(told, own);
  expect(now.at.map((one) => one.go)).toEqual(['g']);
  expect(now.next?.step).toBe('turn');
});

test('a step waits for the gate of the step before, and the last gate says when a piece counts', () => {
  const steps = [
    { ...emptyStep(), key: 'glue', material: 'm', place: 's' },
    { ...emptyStep(), key: 'turn', gate: 'spin', machine: 'l', alone_min: 5 },
  ];
  const said = routeSaid('r', 'boxes', steps, 'wrap');
  expect(said.route).toBe('r');
  expect(said.steps).toMatchObject([
    { key: 'glue', material: 'm', place: 's', machine: null, alone_min: 0, after: [] },
    { key: 'turn', machine: 'l', alone_min: 5, after: [{ step: 'glue', gate: 'spin' }] },
  ]);
  expect(said.done).toEqual([{ step: 'turn', gate: 'wrap' }]);
  expect(nameTaken(steps, 'glue')).toBe(true);
});

test('only gates that open are offered to wait for', () => {
  const gates = ['open_time', 'clamps_off', 'heavy', 'recoat_opens', 'recoat_closes', 'wipe_off'];
  const material = { label: { gates: gates.map((kind) => ({ kind })) } } as unknown as Material;
  expect(gatesOf(material)).toEqual(['clamps_off', 'heavy', 'recoat_opens']);
  expect(gatesOf(undefined)).toEqual([]);
});

test('wood is spoken of where it changes a figure: it lags, or nobody said how thick it is', () => {
  const after = (more: object) =>
    woodAfter({ waits: [{ ...cure(1, 3, 2), ...more }] } as unknown as Plan, act('glue', false));
  expect(after({ wood: 'lags', lag_h: 2.5 })?.lag_h).toBe(2.5);
  expect(after({ wood: 'unknown', lag_h: 0 })?.wood).toBe('unknown');
  expect(after({ wood: 'lags', lag_h: 0 })).toBeUndefined();
  expect(after({ wood: '', lag_h: 0 })).toBeUndefined();
  expect(after({})).toBeUndefined();
  expect(after({ wood: 'unknown', step: 'other' })).toBeUndefined();
});

test('a thickness is told with its step, and none where none was typed', () => {
  const steps = [
    { ...emptyStep(), key: 'glue', thickness_mm: 40 },
    { ...emptyStep(), key: 'turn' },
  ];
  const told = routeSaid('r', 'boxes', steps, '').steps as object[];
  expect(told[0]).toHaveProperty('thickness_mm', 40);
  expect(told[1]).not.toHaveProperty('thickness_mm');
});
