import { expect, test } from 'vitest';
import { folded, type OneWord } from '../src/models/batch';
import { at } from './shed';

function told(tag: string, word: string, reason: string, until: string | null = null): OneWord {
  return { piece: tag, tag, word, reason, until, blame: '' };
}

test('answers that are alike are said once, the free ones first and the barred ones last', () => {
  const parts = folded([
    told('L-1', 'no', 'keep_bare'),
    told('L-2', 'yes', 'fit'),
    told('L-3', 'no', 'keep_bare'),
    told('L-4', 'not_yet', 'wet', at('12:00')),
  ]);
  expect(parts.map((part) => [part.word, part.pieces.map((one) => one.tag)])).toEqual([
    ['yes', ['L-2']],
    ['not_yet', ['L-4']],
    ['no', ['L-1', 'L-3']],
  ]);
});

test('the latest time counts for all of them, and none where one has none', () => {
  const early = told('L-1', 'not_yet', 'wet', at('12:00'));
  const late = told('L-2', 'not_yet', 'wet', at('14:00'));
  expect(folded([late, early])[0]!.until).toBe(at('14:00'));
  expect(folded([early, told('L-3', 'not_yet', 'wet'), late])[0]!.until).toBeNull();
});
