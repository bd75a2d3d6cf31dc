import { expect, test } from 'vitest';
import { fold, pending } from '../src/models/fold';
import type { Said, Tap } from '../src/store/tap';
import { library } from '../src/models/library';
import { at, gate, GLUE, group, labelGate, NOW, tap as kept, view } from './shed';

let count = 0;
function tap(verb: string, said: Said, when: string, more: Partial<Tap> = {}): Tap {
  count += 1;
  const own = { id: `t${count}`, number: count, at: when, pressed_at: when };
  return kept(verb, said, { ...own, ...more });
}

const SPREAD = {
  glue_up: 'g1',
  name: 'drum L-1–2',
  label: 'glue-label',
  place: 'shed',
  joints: [
    { id: 'j1', piece: 'L-1', name: 'a' },
    { id: 'j2', piece: 'L-2', name: 'b' },
  ],
};
const COAT = {
  coat: 'c1',
  name: 'tops',
  label: 'oil-label',
  place: 'shed',
  zones: ['L-1 top', 'L-2 top'],
};
const kinds = (shown: ReturnType<typeof fold>) => shown.groups[0]!.gates.map((one) => one.kind);

test('a glue-up spread without a signal is shown with its open time running', () => {
  const shown = fold(view(), [tap('spread_began', SPREAD, at('10:00'))]);
  expect(shown.groups[0]).toMatchObject({
    state: 'spreading',
    provisional: true,
    place: { name: 'Shed' },
  });
  expect(shown.groups[0]!.pieces.map((one) => one.tag)).toEqual(['L-1', 'L-2']);
  expect(kinds(shown)).toEqual(['open_time', 'total_assembly']);
});

test('the pot runs out from its mixing, also without a signal', () => {
  const pot = { ...GLUE.label, gates: [...GLUE.label.gates, labelGate('pot_life', 0.5)] };
  const taps = [
    tap('spread_began', SPREAD, at('10:00')),
    tap('mixed', { glue_up: 'g1' }, at('09:50')),
  ];
  const shown = fold(view({ materials: [{ ...GLUE, label: pot }] }), taps);
  expect(kinds(shown)).toEqual(['pot_life', 'open_time', 'total_assembly']);
  expect(shown.groups[0]!.gates[0]!.acts.first).toBe(at('10:20'));
});

test.each([
  [250, '10:02'],
  [100, '10:20'],
  [40, '10:20'],
])('a pot of %d g, where the label speaks of 100, runs out at %s', (mass_g, by) => {
  const gates = [...GLUE.label.gates, labelGate('pot_life', 0.5)];
  const label = { ...GLUE.label, gates, pot_mass_g: 100 };
  const taps = [
    tap('spread_began', SPREAD, at('10:00')),
    tap('mixed', { glue_up: 'g1', mass_g }, at('09:50')),
  ];
  const shown = fold(view({ materials: [{ ...GLUE, label }] }), taps);
  expect(shown.groups[0]!.gates[0]!.acts).toEqual({ first: at(by), last: at(by) });
});

test('pressure on starts the ladder, and the clamps of a plain joint', () => {
  const taps = [
    tap('spread_began', SPREAD, at('10:00')),
    tap('pressure_on', { glue_up: 'g1' }, at('10:06')),
  ];
  const shown = fold(view(), taps);
  expect(shown.groups[0]!.state).toBe('pressed');
  expect(kinds(shown)).toEqual(['clamps_off', 'light', 'spin']);
  expect(shown.groups[0]!.gates[0]!.acts.last).toBe('2026-02-05T10:51:00.000Z');
});

test('a bend is held by the longer gate', () => {
  const taps = [
    tap('spread_began', { ...SPREAD, stressed: true }, at('10:00')),
    tap('pressure_on', { glue_up: 'g1' }, at('10:06')),
  ];
  expect(kinds(fold(view(), taps))).toEqual(['clamps_off_stressed', 'light', 'spin']);
});

test('the gates of a coat open from its last piece and close from its first', () => {
  const taps = [
    tap('coat_began', COAT, at('10:00')),
    tap('coat_ended', { coat: 'c1' }, at('11:00')),
  ];
  const gates = fold(view(), taps).groups[0]!.gates;
  const touch = gates.find((one) => one.kind === 'touch')!;
  const closes = gates.find((one) => one.kind === 'recoat_closes')!;
  expect(touch.acts).toEqual({ first: at('14:00'), last: at('15:00') });
  expect(closes.acts.first).toBe(at('10:00', '06'));
});

test('wiping off counts from the first piece and is done with once wiped', () => {
  const began = [tap('coat_began', COAT, at('10:00'))];
  expect(kinds(fold(view(), began))).toEqual(['wipe_off']);
  const taps = [
    ...began,
    tap('coat_ended', { coat: 'c1' }, at('10:10')),
    tap('wiped', { coat: 'c1' }, at('10:20')),
  ];
  const shown = fold(view(), taps);
  expect(kinds(shown)).toEqual(['touch', 'recoat_closes']);
  expect(shown.groups[0]!.gates[0]!.acts.last).toBe('2026-02-05T14:20:00.000Z');
});

test('rags of a drying oil are asked for until somebody says where they are', () => {
  const taps = [
    tap('coat_began', COAT, at('10:00')),
    tap('coat_ended', { coat: 'c1' }, at('10:10')),
  ];
  expect(fold(view(), taps).groups[0]!.rags).toBe(true);
  const placed = tap('rag_placed', { coat: 'c1', where: 'under_water' }, at('10:15'));
  expect(fold(view(), [...taps, placed]).groups[0]!.rags).toBe(false);
});

test('what is undone before it was sent is as if it had never been told', () => {
  const spread = tap('spread_began', SPREAD, at('10:00'));
  const taps = [spread, tap('struck_out', { target: spread.id }, at('10:01'))];
  expect(fold(view(), taps).groups).toEqual([]);
});

test('a tap the server answered stays shown until a later view has come', () => {
  const done = tap('clamps_off', { glue_up: 'g1' }, at('09:59'), {
    state: 'applied',
    answered_at: '2026-02-05T10:00:01Z',
  });
  const before = view({ groups: [group()] });
  expect(fold(before, [done]).groups[0]!.state).toBe('resting');
  const after = view({ now: '2026-02-05T10:00:02Z', groups: [group()] });
  expect(pending([done], after.now)).toEqual([]);
});

test('a refused tap changes nothing', () => {
  const no = tap('clamps_off', { glue_up: 'g1' }, at('10:00'), { state: 'refused' });
  expect(fold(view({ groups: [group()] }), [no]).groups[0]!.state).toBe('pressed');
});

test('a verb this app has never heard of is kept and shown as nothing', () => {
  const shown = view();
  expect(fold(shown, [tap('sung_to', {}, NOW)])).toEqual(shown);
});

test('an unclamped group that the server knew keeps its gates', () => {
  const known = view({ groups: [group({ gates: [gate('light', at('13:00'))] })] });
  const shown = fold(known, [tap('clamps_off', { glue_up: 'g1' }, at('10:00'))]);
  expect(kinds(shown)).toEqual(['light']);
});

test('a typed reading is the last word of its place only if it is the newest', () => {
  const place = {
    ...view().places[0]!,
    reading: { at: at('09:00'), temp_c: 9, rh_pct: null, mark: 'typed' as const, age_s: 0 },
  };
  const told = (when: string) =>
    fold(view({ places: [place] }), [tap('reading_taken', { place: 'shed', temp_c: 14 }, when)])
      .places[0]!;
  expect(told(at('08:00')).reading!.temp_c).toBe(9);
  expect(told(at('10:00')).reading).toMatchObject({ temp_c: 14, mark: 'typed', rh_pct: null });
});

test('a bottle taken in without a signal is known by what is usual of its kind', () => {
  const gates = GLUE.label.gates;
  library.value = {
    families: [
      {
        key: 'pva',
        name: 'PVA',
        role: 'adhesive',
        gates,
        cautions: ['dust'],
        min_c: { value: 10 },
      },
    ],
  };
  const said = { material: 'm9', label: 'l9', name: 'Mine', family: 'pva' };
  const shown = fold(view(), [
    tap('label_read', said, at('10:00')),
    tap('spread_began', { ...SPREAD, label: 'l9' }, at('10:01')),
  ]);
  const mine = shown.materials.find((one) => one.id === 'm9')!;
  expect(mine).toMatchObject({ role: 'adhesive', label: { read: false, min_c: 10 } });
  expect(kinds(shown)).toEqual(['open_time', 'total_assembly']);
  library.value = undefined;
});
