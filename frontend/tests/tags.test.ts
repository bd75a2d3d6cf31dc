import { expect, test } from 'vitest';
import { nameOf, sameAgain, spreadSaid } from '../src/models/again';
import { families, inOrder, newTags, nextPieces, shortTags, tagsBeside } from '../src/models/tags';
import { pieceOfTag } from '../src/models/tag-read';
import { at, group, view } from './shed';

test.each([
  [['L-01', 'L-02', 'L-03'], 'L-01–03'],
  [['L-03', 'L-01', 'L-02', 'L-10'], 'L-01–03, L-10'],
  [['T-1', 'T-2'], 'T-1, T-2'],
  [['L-9', 'L-10', 'L-11'], 'L-9–11'],
  [['odd', 'L-1'], 'L-1, odd'],
  [['A-1', 'B-2', 'A-2', 'A-3'], 'A-1–3, B-2'],
  [['A-1', 'A-2', 'A-1'], 'A-1, A-2'],
  [[], ''],
])('%j is written %s', (tags, text) => {
  expect(shortTags(tags)).toBe(text);
});

test('numbers a name says already are not said twice, whatever its dash', () => {
  expect(tagsBeside('G8 drums L-09-11', ['L-09', 'L-10', 'L-11'])).toBe('');
  expect(tagsBeside('G8 drums', ['L-09', 'L-10', 'L-11'])).toBe('L-09–11');
});

test('10 comes after 9', () => {
  expect(inOrder([{ tag: 'L-10' }, { tag: 'L-9' }]).map((one) => one.tag)).toEqual(['L-9', 'L-10']);
});

test('new numbers step over those that are taken', () => {
  expect(newTags('A-', 3, new Set(['A-2']))).toEqual(['A-1', 'A-3', 'A-4']);
  expect(newTags('A-', 12, new Set())[0]).toBe('A-01');
});

test('pieces are kept together by what their numbers begin with', () => {
  expect([...families([{ tag: 'L-1' }, { tag: 'T-1' }, { tag: 'L-2' }]).keys()]).toEqual([
    'L',
    'T',
  ]);
});

test('the same again goes on with the pieces that come next', () => {
  const all = ['L-1', 'L-2', 'L-3', 'L-4', 'T-5'].map((tag) => ({ tag }));
  expect(nextPieces(all, [{ tag: 'L-1' }, { tag: 'L-2' }]).map((one) => one.tag)).toEqual([
    'L-3',
    'L-4',
  ]);
  expect(nextPieces(all, [{ tag: 'L-4' }])).toEqual([]);
});

test('the same again takes glue and place of the last glue-up, and pieces without glue', () => {
  const older = group({ id: 'g0', pieces: [{ id: 'L-4', tag: 'L-4' }], began_at: at('08:00') });
  const next = sameAgain(view({ groups: [older, group()] }));
  expect(next).toMatchObject({
    last: { id: 'g1' },
    spread: { label: 'glue-label', place: 'shed', name: 'drum L-3' },
  });
});

test.each(['https://shed.local:8443/tag/l-2', 'https://shed.local/piece/L-2', 'L-2', ' l-2 '])(
  'the tag %s means its piece',
  (text) => {
    expect(pieceOfTag(text, view().pieces)?.tag).toBe('L-2');
  },
);

test('a tag of another shop means nothing here', () => {
  expect(pieceOfTag('https://elsewhere/piece/X-9', view().pieces)).toBeUndefined();
  expect(pieceOfTag('', view().pieces)).toBeUndefined();
  expect(pieceOfTag('100%', view().pieces)).toBeUndefined();
});

test('a joint of a glue-up that is called by its pieces says no number twice', () => {
  const pieces = view().pieces.slice(0, 2);
  const names = (name: string) =>
    (spreadSaid({ name, label: 'l', place: 'p', pieces }).joints as { name: string }[]).map(
      (joint) => joint.name,
    );
  expect(names(nameOf(pieces))).toEqual(['drum L-1', 'drum L-2']);
  expect(names('Load 3')).toEqual(['Load 3, L-1', 'Load 3, L-2']);
});
