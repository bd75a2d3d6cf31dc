/** The rest of a long list: drawn as it comes into sight, or at a touch. */
import { useEffect, useRef } from 'preact/hooks';
import { count } from '../words/say';

export const AT_ONCE = 16;
/** What a phone shows without being moved; the rest follows once this much is painted. */
export const AT_FIRST = 5;

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
