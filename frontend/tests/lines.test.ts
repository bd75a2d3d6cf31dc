import { expect, test } from 'vitest';
import { oneTaps } from '../src/models/acts';
import { byActAndPlace, nowList } from '../src/models/lines';
import { at, gate, group, line, view } from './shed';

const ms = (clock: string) => Date.parse(at(clock));
const lists = (not_yet: ReturnType<typeof line>[]) =>
  view({ groups: [group()], now_list: { soon: [], may: [], wrong: [], not_yet } });

test('a lower limit that passes without a signal opens, and says it is this phone’s guess', () => {
  const shown = lists([line('light', { at: at('11:00') })]);
  expect(nowList(shown, ms('10:59')).may).toEqual([]);
  expect(nowList(shown, ms('11:00')).may).toMatchObject([{ act: 'light', provisional: true }]);
  expect(nowList(shown, ms('11:00')).not_yet).toEqual([]);
});

test.each(['spin', 'service', 'wet_use'])('%s never opens by the phone’s own clock', (act) => {
  const list = nowList(lists([line(act, { at: at('11:00') })]), ms('23:00'));
  expect(list.may).toEqual([]);
  expect(list.not_yet).toHaveLength(1);
});

test('a spin gate of a group only this phone knows never opens either', () => {
  const own = group({
    provisional: true,
    state: 'resting',
    gates: [gate('spin', at('09:30'), { hurts: true, sure: at('09:30') })],
  });
  const list = nowList(view({ groups: [own] }), ms('23:00'));
  expect(list.may).toEqual([]);
  expect(list.not_yet).toMatchObject([{ act: 'spin' }]);
});

test('an upper limit that passes without a signal has gone wrong', () => {
  const soon = [line('total_assembly', { until: at('10:10') })];
  const shown = view({ groups: [group()], now_list: { soon, may: [], wrong: [], not_yet: [] } });
  const list = nowList(shown, ms('10:10'));
  expect(list.soon).toEqual([]);
  expect(list.wrong).toMatchObject([{ act: 'total_assembly', reason: 'shut', at: at('10:10') }]);
});

test('lines of a group with taps not heard of are this phone’s own', () => {
  const own = group({
    provisional: true,
    state: 'pressed',
    gates: [gate('clamps_off', at('10:45')), gate('light', at('13:00'))],
  });
  const shown = view({
    groups: [own],
    now_list: { soon: [line('open_time')], may: [], wrong: [], not_yet: [] },
  });
  expect(nowList(shown, ms('10:20'))).toMatchObject({
    soon: [],
    not_yet: [{ act: 'clamps_off', at: at('10:45') }],
  });
  expect(nowList(shown, ms('10:50')).may).toMatchObject([
    { act: 'clamps_off', forbidden: { kind: 'light', until: at('13:00') } },
  ]);
});

test('nothing but unclamping is offered while the clamps are on', () => {
  const own = group({
    provisional: true,
    state: 'pressed',
    gates: [gate('clamps_off', at('10:00')), gate('light', at('10:00'))],
  });
  const acts = nowList(view({ groups: [own] }), ms('12:00')).may.map((one) => one.act);
  expect(acts).toEqual(['clamps_off']);
});

test('a suspect group offers nothing, however long it waits', () => {
  const doubt = {
    cause: 'cold',
    at: at('09:30'),
    temp_c: 8,
    banked_h: 0.7,
    need_h: 2,
    pieces: ['L-1'],
  };
  const own = group({
    provisional: true,
    state: 'resting',
    suspect: [doubt],
    gates: [gate('light', at('10:00'))],
  });
  expect(nowList(view({ groups: [own] }), ms('23:00')).may).toEqual([]);
});

test('coming cold is seen to while something can still be done, and has gone wrong after', () => {
  const wrong = [line('cold', { at: at('19:44') })];
  const shown = view({ groups: [group()], now_list: { soon: [], may: [], wrong, not_yet: [] } });
  expect(nowList(shown, ms('19:43')).soon).toHaveLength(1);
  expect(nowList(shown, ms('19:44'))).toMatchObject({ soon: [], wrong: [{ act: 'cold' }] });
});

test('rags come before everything that can wait', () => {
  const soon = [line('total_assembly', { until: at('10:05') }), line('rags', { group: 'c' })];
  const shown = view({ now_list: { soon, may: [], wrong: [], not_yet: [] } });
  expect(nowList(shown, ms('10:00')).soon.map((one) => one.act)).toEqual([
    'rags',
    'total_assembly',
  ]);
});

test('lines are sorted by act and grouped by where the things stand', () => {
  const lines = [
    line('light', { group: 'a', place: 'Shed' }),
    line('heavy', { group: 'b', place: 'Shed' }),
    line('light', { group: 'c', place: 'Box' }),
    line('light', { group: 'd', place: 'Shed' }),
  ];
  const sorted = byActAndPlace(lines).map(([act, places]) => [
    act,
    places.map(([place, there]) => [place, there.map((one) => one.group)]),
  ]);
  expect(sorted).toEqual([
    [
      'light',
      [
        ['Shed', ['a', 'd']],
        ['Box', ['c']],
      ],
    ],
    ['heavy', [['Shed', ['b']]]],
  ]);
});

test('pieces asked for one by one that wait for the same are one line', () => {
  const lines = ['L-1', 'L-2'].map((tag) =>
    line('spin', { name: tag, pieces: [tag], reason: 'joints_not_declared' }),
  );
  const [[, [[, there]]]] = byActAndPlace(lines) as never as [
    [string, [[string, { pieces: string[] }[]]]],
  ];
  expect(there).toMatchObject([{ pieces: ['L-1', 'L-2'] }]);
});

test('the next coat is one tap only where it is plain which zones are meant', () => {
  const zone = (id: string, coats: number) => ({ id, name: id, keep_bare: false, coats });
  const piece = (tag: string, zones: ReturnType<typeof zone>[]) => ({
    ...view().pieces[0]!,
    id: tag,
    tag,
    zones,
  });
  const coat = group({ kind: 'coat', pieces: [{ id: 'L-1', tag: 'L-1' }] });
  const recoat = line('recoat_opens');
  const [tap] = oneTaps(recoat, coat, [piece('L-1', [zone('z', 1), zone('y', 0)])]);
  expect(tap).toMatchObject({ verb: 'coat_began', said: { zones: ['z'], label: 'glue-label' } });
  expect(oneTaps(recoat, coat, [piece('L-1', [zone('z', 1), zone('y', 1)])])).toEqual([]);
});
