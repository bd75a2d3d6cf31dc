// @vitest-environment happy-dom
import { act, cleanup, render } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Block, inBlocks } from '../src/parts/further';

let sees: (near: boolean) => void;

beforeEach(() => {
  class Sight {
    constructor(told: (seen: { isIntersecting: boolean }[]) => void) {
      sees = (near) => act(() => told([{ isIntersecting: near }]));
    }
    observe() {}
    disconnect() {}
  }
  vi.stubGlobal('IntersectionObserver', Sight);
});
afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

function list(long: boolean) {
  const rows = () => ['L-01', 'L-02'].map((tag) => <li><a href={`/${tag}`}>{tag}</a></li>);
  return render(<Block long={long}>{rows}</Block>).container;
}

test('of a long list, rows far off are let go and their height is kept', () => {
  const shown = list(true);
  Object.defineProperty(shown.querySelector('ul')!, 'offsetHeight', { value: 310 });
  sees(false);
  expect(shown.querySelectorAll('li')).toHaveLength(0);
  expect(shown.querySelector('ul')!.style.height).toBe('310px');
  sees(true);
  expect(shown.querySelectorAll('li')).toHaveLength(2);
  expect(shown.querySelector('ul')!.style.height).toBe('');
});

test('the row that holds the focus stays', () => {
  const shown = list(true);
  shown.querySelector('a')!.focus();
  sees(false);
  expect(shown.querySelectorAll('li')).toHaveLength(2);
});

test('a short list is never watched', () => {
  sees = () => undefined;
  const shown = list(false);
  sees(false);
  expect(shown.querySelectorAll('li')).toHaveLength(2);
});

test('blocks hold each row once, in order', () => {
  expect(inBlocks([1, 2, 3, 4, 5], 2)).toEqual([[1, 2], [3, 4], [5]]);
  expect(inBlocks([], 2)).toEqual([]);
});
