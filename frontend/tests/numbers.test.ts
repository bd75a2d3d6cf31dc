import { beforeEach, expect, test } from 'vitest';
import { handed, handoverOf, noteTold } from '../src/models/numbers';
import { view } from './shed';

beforeEach(() => (handed.value = undefined));

test('sawn from one and glued of several are told apart', () => {
  const one = { id: 'n', tag: 'N-1', made_from: ['L-1'] };
  expect(handoverOf('pieces_made', { pieces: [one] }, view())).toMatchObject({ moment: 'sawn' });
  const ring = { ...one, made_from: ['L-1', 'L-2'] };
  expect(handoverOf('pieces_made', { pieces: [ring] }, view())).toMatchObject({ moment: 'glued' });
});

test('new pieces that are made from nothing lose no number', () => {
  const pieces = [{ id: 'n', tag: 'N-1' }];
  expect(handoverOf('pieces_made', { pieces }, view())).toBeUndefined();
});

test('a block that comes off asks for the piece it was on', () => {
  const holds = [{ id: 'h', piece: 'L-2', what: 'Waste block', off_before: '' }];
  const asked = handoverOf('hold_off', { hold: 'h' }, view({ holds }));
  expect(asked?.pieces.map((one) => one.tag)).toEqual(['L-2']);
});

test('what is hung up to coat asks for every piece of the coat', () => {
  const asked = handoverOf('coat_began', { zones: ['L-1 top', 'L-3 top'] }, view());
  expect(asked).toMatchObject({ moment: 'hung', pieces: [{ tag: 'L-1' }, { tag: 'L-3' }] });
});

test('it is asked until it is answered for every piece, or taken back', () => {
  const asked = handoverOf('coat_began', { zones: ['L-1 top', 'L-3 top'] }, view());
  noteTold('coat_began', {}, asked);
  noteTold('number_moved', { pieces: ['L-1'] }, undefined);
  expect(handed.value).toBe(asked);
  noteTold('number_moved', { pieces: ['L-1', 'L-3'] }, undefined);
  expect(handed.value).toBeUndefined();
  noteTold('coat_began', {}, asked);
  noteTold('struck_out', {}, undefined);
  expect(handed.value).toBeUndefined();
});
