import { expect, test } from 'vitest';
import { onShelf, started, type Container, type Shelf } from '../src/models/containers';
import type { Said, Tap } from '../src/store/tap';
import { at, NOW, tap as tapOf } from './shed';

const BOTTLE: Container = {
  id: 'b1',
  material: 'glue',
  name: 'blue lid',
  opened_at: null,
  open_days: null,
  age_days: 3,
  keeps_days: 365,
  keeps_open_days: null,
  frozen_at: null,
  expires: null,
  tested_at: null,
  passed: null,
  test_due_at: null,
  left_g: 500,
  holds_g: 500,
  in_use: false,
  odd: [],
};
const SHELF: Shelf = { now: NOW, containers: [BOTTLE] };

function tap(verb: string, said: Said, more: Partial<Tap> = {}): Tap {
  return tapOf(verb, { container: 'b1', ...said }, more);
}

test('what was told of a bottle is shown before the server has heard of it', () => {
  const [one] = onShelf(SHELF, [tap('container_opened', {}), tap('container_left', { left_g: 250 })]);
  expect(one).toMatchObject({ opened_at: at('10:05'), left_g: 250, odd: [] });
});

test.each([
  ['container_frozen', {}, 'frozen'],
  ['container_tested', { passed: false }, 'failed'],
  ['container_left', { left_g: 0 }, 'empty'],
])('%s speaks against it at once', (verb, said, odd) => {
  expect(onShelf(SHELF, [tap(verb, said)])[0]!.odd).toEqual([odd]);
});

test('no phone says by itself that a frozen bottle is good again', () => {
  const frozen = { ...SHELF, containers: [{ ...BOTTLE, odd: ['frozen', 'test_due'] }] };
  expect(onShelf(frozen, [tap('container_tested', { passed: true })])[0]!.odd).toContain('frozen');
});

test('a bottle taken in stands on the shelf, also when it was told twice', () => {
  const said = { container: 'b2', material: 'glue', name: 'red lid', holds_g: 1000 };
  const all = onShelf(SHELF, [tap('container_taken_in', said), tap('container_taken_in', said)]);
  expect(all.map((one) => [one.name, one.left_g])).toEqual([
    ['blue lid', 500],
    ['red lid', 1000],
  ]);
});

test('what the server had answered before it told of the shelf is not told again', () => {
  const heard = tap('container_left', { left_g: 0 }, { state: 'applied', answered_at: at('09:00') });
  expect(onShelf(SHELF, [heard])[0]!.left_g).toBe(500);
});

test('what is open and not empty is there to be taken from, the last opened first', () => {
  const at_hand = (id: string, more: Partial<Container>) => ({ ...BOTTLE, id, ...more });
  const all = [
    at_hand('shut', {}),
    at_hand('old', { opened_at: at('10:00', '01') }),
    at_hand('new', { opened_at: at('10:00', '04') }),
    at_hand('empty', { opened_at: at('10:00', '05'), left_g: 0 }),
    at_hand('not weighed', { opened_at: at('10:00', '02'), left_g: null }),
    at_hand('of another', { opened_at: at('10:00', '03'), material: 'oil' }),
  ];
  expect(started(all, 'glue').map((one) => one.id)).toEqual(['new', 'not weighed', 'old']);
});
