/** Telling what happened: kept on the phone first, then shown, then sent. */
import { StoreFailed } from '../store/database';
import { allTaps } from '../store/taps';
import type { Said, Tap } from '../store/tap';
import { newTap, put } from '../sync/outbox';
import { ago_min } from './ago';
import { minute, shopTime } from './clock';
import { noteTap } from './long-day';
import { handoverOf, noteTold } from './numbers';
import { mayRecord, notKept, storeTrouble, taps, view } from './shop';

const PAINT_MS = 50;
const UNDO_MS = 10 * 60_000;
let sendSoon: () => void = () => undefined;

/** What is called after each tap that was kept. */
export function afterTelling(send: () => void): void {
  sendSoon = send;
}

/** Undefined if the phone could not keep it; the page then says so in plain words. */
export async function tell(
  verb: string,
  said: Said,
  min_ago = ago_min.peek(),
): Promise<Tap | undefined> {
  if (!mayRecord.peek()) return undefined;
  const pressed = new Date();
  const at = new Date(pressed.getTime() - min_ago * 60_000);
  try {
    const tap = await put(newTap(verb, said, at, pressed));
    const hand = handoverOf(verb, said, view.peek());
    taps.value = [...taps.peek(), tap];
    noteTold(verb, said, hand);
    notKept.value = undefined;
    ago_min.value = 0;
    noteTap(shopTime());
    setTimeout(sendSoon, PAINT_MS); // what it says is painted first
    return tap;
  } catch (cause) {
    notKept.value = { verb, said };
    storeTrouble.value = cause instanceof StoreFailed ? cause.reason : 'broken';
    return undefined;
  }
}

/** Strike out a tap of this phone: within ten minutes, without a reason. */
export function undo(tap: Tap): Promise<Tap | undefined> {
  return tell('struck_out', { target: tap.id }, 0);
}

/** The last tap that can still be undone, if there is one. */
export function undoable(all: readonly Tap[]): Tap | undefined {
  // Read, so that the button goes away by itself.
  void minute.value;
  const struck = new Set(
    all.filter((tap) => tap.verb === 'struck_out').map((tap) => tap.said.target),
  );
  const since_ms = shopTime() - UNDO_MS;
  return all.findLast(
    (tap) =>
      tap.verb !== 'struck_out' &&
      tap.state !== 'refused' &&
      !struck.has(tap.id) &&
      Date.parse(tap.pressed_at) > since_ms,
  );
}

/** Another page of this app kept or answered something. */
export async function readTaps(): Promise<void> {
  taps.value = await allTaps();
}
