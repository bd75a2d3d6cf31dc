/** Long lists and screens: what is in sight first, the rest right after; what is far off let go. */
import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { count } from '../words/say';

export const AT_ONCE = 16;
const SOON_MS = 60;
const FAR_PX = 1200;
/** What a phone shows without being moved; the rest follows once this much is painted. */
export const AT_FIRST = 5;

/** How much of a long list is drawn: a screenful before the touch is answered, the rest right after. */
export function useSoon(total: number, first: number): number {
  const [limit, setLimit] = useState(first);
  useEffect(() => {
    if (limit >= total) return undefined;
    const timer = setTimeout(() => setLimit(limit * 2), SOON_MS);
    return () => clearTimeout(timer);
  }, [limit, total]);
  return limit;
}

/** Whether the first of a screen has been painted: what lies further down waits for it. */
export function usePainted(): boolean {
  const [painted, setPainted] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setPainted(true), SOON_MS);
    return () => clearTimeout(timer);
  }, []);
  return painted;
}

/** What lies further down. */
export function Below({ children }: { children: () => ComponentChildren }) {
  return usePainted() ? <>{children()}</> : null;
}

interface BlockProps {
  class?: string;
  /** Whether it belongs to a list so long that what is far off is let go. */
  long: boolean;
  children: () => ComponentChildren;
}

/**
 * A stretch of a list. Of a long one, what is far out of sight keeps its height and lets its rows
 * go, so that a touch costs the same however many there are; never the row that holds the focus.
 */
export function Block({ class: name, long, children }: BlockProps) {
  const here = useRef<HTMLUListElement>(null);
  const [height, setHeight] = useState<number | undefined>(undefined);
  useLayoutEffect(() => {
    const list = here.current;
    if (!long || !list || typeof IntersectionObserver === 'undefined') return undefined;
    const sight = new IntersectionObserver(
      (seen) => {
        const near = seen.at(-1)!.isIntersecting;
        if (near) setHeight(undefined);
        else if (!list.contains(document.activeElement))
          setHeight((told) => told ?? list.offsetHeight);
      },
      { rootMargin: `${FAR_PX}px 0px` },
    );
    sight.observe(list);
    return () => sight.disconnect();
  }, [long]);
  const gone = long && height !== undefined;
  return (
    <ul class={name} ref={here} style={gone ? { height: `${height}px` } : undefined}>
      {!gone && children()}
    </ul>
  );
}

/** Up to so many, a list of rows stays whole: it can be read through without being moved. */
export const MANY = 60;

/** A list by stretches of so many. */
export function inBlocks<T>(all: readonly T[], size: number): T[][] {
  const found: T[][] = [];
  for (let i = 0; i < all.length; i += size) found.push(all.slice(i, i + size));
  return found;
}

export function Further({ left, onMore }: { left: number; onMore: () => void }) {
  const button = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (!button.current || typeof IntersectionObserver === 'undefined') return undefined;
    const sight = new IntersectionObserver(
      (seen) => seen.some((one) => one.isIntersecting) && onMore(),
      { rootMargin: '600px' },
    );
    sight.observe(button.current);
    return () => sight.disconnect();
  }, [left]);
  if (left <= 0) return null;
  return (
    <button type="button" class="quiet" ref={button} onClick={onMore}>
      {count('now.further', left)}
    </button>
  );
}
