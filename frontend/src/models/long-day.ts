/** How long the day has been: since the first tap of it on this phone. */
import { signal } from '@preact/signals';
import { dayOf } from '../words/times';

const LONG_MS = 10 * 3_600_000;
const KEY = 'cureclock.day';

const first = signal<{ day: string; at_ms: number }>(kept());

/** The first tap of a day is kept; the others change nothing. */
export function noteTap(at_ms: number): void {
  const day = dayOf(at_ms);
  if (first.peek().day === day) return;
  first.value = { day, at_ms };
  try {
    globalThis.localStorage?.setItem(KEY, JSON.stringify(first.peek()));
  } catch {
    // Full or forbidden: the day counts until the page is closed.
  }
}

export function isLongDay(now_ms: number): boolean {
  return first.value.day === dayOf(now_ms) && now_ms - first.value.at_ms >= LONG_MS;
}

function kept(): { day: string; at_ms: number } {
  try {
    const told = JSON.parse(globalThis.localStorage?.getItem(KEY) ?? '') as Record<string, unknown>;
    return { day: String(told.day), at_ms: Number(told.at_ms) };
  } catch {
    return { day: '', at_ms: 0 };
  }
}
