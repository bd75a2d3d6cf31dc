/** The rest of a long list: drawn as it comes into sight, or at a touch. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { count } from '../words/say';

export const AT_ONCE = 16;
const SOON_MS = 60;
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
