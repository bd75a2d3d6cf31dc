/** Into the outbox: a tap is on disk before anybody is told that it happened. */
import { dropFetched } from '../store/kept';
import { forgetTaps, keepTap } from '../store/taps';
import { StoreFailed } from '../store/database';
import type { NewTap, Said, Tap } from '../store/tap';

/** One life of the page: its stopwatch means nothing in another. */
const PAGE = newId();

export function newTap(verb: string, said: Said, at: Date, pressed: Date): NewTap {
  return {
    id: newId(),
    verb,
    said,
    at: at.toISOString(),
    pressed_at: pressed.toISOString(),
    page: PAGE,
    stopwatch_ms: performance.now(),
  };
}

/** Keep it; if the phone is full, make room from what can be fetched again, and try once more. */
export async function put(tap: NewTap): Promise<Tap> {
  try {
    return await keepTap(tap);
  } catch (cause) {
    if (!(cause instanceof StoreFailed) || cause.reason !== 'full') throw cause;
    await makeRoom();
    return keepTap(tap);
  }
}

async function makeRoom(): Promise<void> {
  await dropFetched().catch(() => undefined);
  await forgetTaps(new Date().toISOString()).catch(() => undefined);
}

/**
 * A random id (version 4). `crypto.randomUUID` is missing over plain http, where a phone may well
 * be; random bytes are not.
 */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6]! & 0x0f) | 0x40;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return [8, 12, 16, 20, 32].map((end, i, ends) => hex.slice(i ? ends[i - 1] : 0, end)).join('-');
}

/** When it happened, mended if the phone's clock was set back between the tap and now. */
export function happenedAt(tap: NewTap, now: Date, stopwatch_ms: number): string {
  if (tap.page !== PAGE) return tap.at;
  const by_clock_ms = now.getTime() - Date.parse(tap.pressed_at);
  const by_stopwatch_ms = stopwatch_ms - tap.stopwatch_ms;
  const set_back_ms = by_stopwatch_ms - by_clock_ms;
  // The stopwatch may stand still while the phone sleeps, so only the other way proves anything.
  return set_back_ms > 2000 ? new Date(Date.parse(tap.at) - set_back_ms).toISOString() : tap.at;
}
