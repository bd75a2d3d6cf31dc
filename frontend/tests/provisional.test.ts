import { expect, test } from 'vitest';
import { finish, provisionalGates, soonest } from '../src/models/provisional';
import { at, GLUE, labelGate } from './shed';

const TABLE = {
  label: 'glue-label',
  place: 'shed',
  starts: [at('10:00'), at('10:30'), at('11:00')],
  gates: { clamps_off: [1, 1.5, null], light: [6, 6, 6] },
  spoils: [false, false, false],
  foretold: [],
};
const off = (start: string, kind = 'clamps_off') => finish([TABLE], GLUE, 'shed', kind, start);

test('a start of the table has the table’s own finish', () => {
  expect(off(at('10:30'))).toEqual({ at: '2026-02-05T12:00:00.000Z', table: true });
});

test('between two starts the finish lies between theirs', () => {
  expect(off(at('10:15'))).toEqual({ at: '2026-02-05T11:30:00.000Z', table: true });
});

test('a start a little before the table takes its first row', () => {
  expect(off(at('09:50'))?.at).toBe('2026-02-05T10:50:00.000Z');
});

test('what is out of reach on either side is not made up', () => {
  expect(off(at('10:45'))).toEqual({ at: null, table: true });
});

test('beyond the table the label’s own figure stands in, and says so', () => {
  expect(off(at('15:00'))).toEqual({ at: '2026-02-05T15:45:00.000Z', table: false });
});

test('of air and thick wood what opens waits for the later, and what closes for the sooner', () => {
  const wood = { ...TABLE, gates: { clamps_off: [3, 2, 2], open_time: [0.75, 0.75, 0.75] } };
  const air = { ...TABLE, gates: { ...TABLE.gates, open_time: [0.5, 0.5, 0.5] } };
  const of_both = (kind: string, start = '10:00') =>
    finish([air, wood], GLUE, 'shed', kind, at(start))?.at;
  expect(of_both('clamps_off')).toBe('2026-02-05T13:00:00.000Z');
  expect(of_both('clamps_off', '11:00')).toBeNull(); // out of reach of one of them
  expect(of_both('open_time')).toBe('2026-02-05T10:30:00.000Z');
});

test('of each cause the one that leaves the least time is foretold', () => {
  const cold = (latest_good: string | null) => ({
    ...TABLE,
    foretold: [{ cause: 'cold', at: at('23:00'), latest_good }],
  });
  const latest = (...told: (string | null)[]) => soonest(told.map(cold))[0]?.latest_good;
  expect(latest(at('15:00'), at('13:00'))).toBe(at('13:00'));
  expect(latest(at('15:00'), null)).toBeNull();
  expect(latest(null, at('15:00'))).toBeNull();
});

test('a gate the label does not have has no figure', () => {
  expect(off(at('10:00'), 'wrap')).toBeUndefined();
});

test('an unread label counts at its long end where it opens, at its short where it closes', () => {
  const unread = {
    ...GLUE,
    label: {
      ...GLUE.label,
      gates: [
        labelGate('light', 4, { upper_hours: 6 }),
        labelGate('open_time', 1, { upper_hours: 2 }),
      ],
    },
  };
  const [light, open] = provisionalGates([], unread, 'shed', at('10:00'), at('10:00'));
  expect(light!.acts.last).toBe(at('16:00'));
  expect(open!.acts.first).toBe(at('11:00'));
});

test('keep-warm is never shown as a gate', () => {
  const kinds = provisionalGates([], GLUE, 'shed', at('10:00'), at('10:00')).map((one) => one.kind);
  expect(kinds).not.toContain('keep_warm');
  expect(kinds).toContain('spin');
});
