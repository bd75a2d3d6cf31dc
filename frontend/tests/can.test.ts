import { afterEach, expect, test } from 'vitest';
import { together, worthShowing, zonesAsked, type ActAnswer } from '../src/models/can';
import { barredByDoubt, doubted, forbids } from '../src/models/doubt';
import { heardOf, mayStillSay, type Way } from '../src/models/ring';
import { isLongDay, noteTap } from '../src/models/long-day';
import type { Gate, Group, Piece } from '../src/models/view';
import { stripOf } from '../src/models/strip';
import { reasonWords, wordOf } from '../src/parts/answer';
import { zone } from '../src/words/times';

const AT = '2026-02-06T14:07:00Z';
const NOW_MS = Date.parse('2026-02-06T09:00:00Z');

afterEach(() => {
  zone.value = 'UTC';
});

function answer(act: string, ...keys: string[]): ActAnswer {
  const reasons = keys.map((key) => ({ key, name: 'joint 1', at: null }));
  return {
    act: act as ActAnswer['act'],
    word: 'no',
    until: null,
    blame: 'joint 1',
    reasons,
    cautions: [],
    answered_at: AT,
  };
}

test('the same reason of many joints is told once, with its latest time', () => {
  const reason = (name: string, at: string | null) => ({ key: 'short', name, at });
  const told = together([
    reason('ring', AT),
    reason('disc', '2026-02-06T10:00:00Z'),
    reason('block', null),
  ]);
  expect(told).toEqual([
    { key: 'short', at: AT, names: ['ring', 'disc'] },
    { key: 'short_ever', at: null, names: ['block'] },
  ]);
});

test('of many joints two are named and the rest counted', () => {
  const names = ['one', 'two', 'three', 'four'];
  expect(reasonWords({ key: 'in_clamps', at: null, names }, NOW_MS)).toBe(
    'one, two and 2 more is still in clamps.',
  );
});

test('a reason nobody has words for is shown as it came', () => {
  expect(reasonWords({ key: 'moon_is_full', at: null, names: [] }, NOW_MS)).toBe('moon is full');
});

test('an answer that says nothing is left out, but never the one that was asked for', () => {
  const answers = [answer('coat', 'no_such_zone'), answer('spin', 'not_offered'), answer('hang', 'wet')];
  expect(worthShowing(answers, 'spin').map((one) => one.act)).toEqual(['spin', 'hang']);
});

test('an act this app has never heard of is not shown as another', () => {
  expect(worthShowing([answer('varnish_with_honey', 'short')], 'spin')).toEqual([]);
});

test('yes has its own word at the lathe alone', () => {
  expect([wordOf('spin', 'yes'), wordOf('wrap', 'yes')]).toEqual(['Spin', 'Yes']);
});

test('a zone is asked for where there is a choice, and the act is done to one', () => {
  const zones = ['drum', 'foot'].map((name) => ({ id: name, name, keep_bare: false, coats: 0 }));
  const piece = { zones } as unknown as Piece;
  expect(zonesAsked(piece, 'hang')).toEqual(zones);
  expect(zonesAsked(piece, 'spin')).toEqual([]);
  expect(zonesAsked({ ...piece, zones: zones.slice(0, 1) }, 'hang')).toEqual([]);
});

function gate(kind: string, hurts = false): Gate {
  return {
    kind,
    opens: true,
    hurts,
    over: false,
    state: 'waiting',
    bare: AT,
    check_from: null,
    acts: { first: AT, last: AT },
    sure: AT,
    warn: null,
    between: false,
  };
}

function group(suspects: string[]): Group {
  const suspect = suspects.length
    ? [{ cause: 'cold', at: AT, temp_c: 9, banked_h: 1, need_h: 2, pieces: suspects }]
    : [];
  return {
    id: 'g',
    kind: 'glue_up',
    name: 'G11',
    material: { id: 'm', name: 'PVA', label: 'l' },
    place: { id: 'p', name: 'Shed' },
    pieces: ['L-17', 'L-18'].map((tag) => ({ id: tag, tag })),
    began_at: '2026-02-05T18:10:00Z',
    state: 'resting',
    gates: [gate('clamps_off'), gate('heavy'), gate('spin', true)],
    suspect,
    foretold: [],
    unsure: [],
  };
}

test('a doubt against every piece leaves no time on the spindle or the machines, clamps still come off', () => {
  const all = group(['L-17', 'L-18']);
  expect(all.gates.map((one) => barredByDoubt(all, one))).toEqual([false, true, true]);
  expect(stripOf(all, undefined, null, NOW_MS).marks.map((one) => one.kind)).toEqual(['clamps_off']);
});

test('a doubt against some leaves the others their times, and names those it bars', () => {
  const some = group(['L-18']);
  expect(doubted(some)).toEqual(['L-18']);
  expect(some.gates.map((one) => barredByDoubt(some, one))).toEqual([false, false, false]);
  expect(forbids(some.gates[2]!)).toBe(true);
});

test('a doubt that names nobody of the group is held against all of it', () => {
  expect(doubted(group(['X-1']))).toEqual(['L-17', 'L-18']);
  expect(doubted(group([]))).toEqual([]);
});

function way(told: Partial<Way>): Way {
  return {
    id: 'w',
    person: 'Maker',
    phone: 'phone',
    kind: 'webpush',
    tested_at: AT,
    state: 'sent',
    shown_at: null,
    seen_at: null,
    heard_at: null,
    dead_since: null,
    dead_why: '',
    ...told,
  };
}

test('taken by the service in between is not shown, and shown is not heard', () => {
  expect(heardOf(way({ tested_at: null }))).toBe('never');
  expect(heardOf(way({ state: 'pending' }))).toBe('waiting');
  expect(heardOf(way({}))).toBe('taken');
  expect(heardOf(way({ shown_at: AT }))).toBe('shown');
  expect(heardOf(way({ shown_at: AT, seen_at: AT }))).toBe('heard');
  expect(heardOf(way({ state: 'expired' }))).toBe('lost');
  expect(heardOf(way({ seen_at: AT, dead_since: AT }))).toBe('dead');
});

test('a phone may still report, a mailbox never does', () => {
  expect(mayStillSay(way({}))).toBe(true);
  expect(mayStillSay(way({ kind: 'email' }))).toBe(false);
  expect(mayStillSay(way({ shown_at: AT }))).toBe(false);
});

test('a day is long ten hours after its first tap, and short again after midnight', () => {
  const first = Date.parse('2026-02-05T07:00:00Z');
  noteTap(first);
  noteTap(first + 5 * 3_600_000);
  expect(isLongDay(first + 9.9 * 3_600_000)).toBe(false);
  expect(isLongDay(first + 10 * 3_600_000)).toBe(true);
  expect(isLongDay(first + 18 * 3_600_000)).toBe(false);
});
