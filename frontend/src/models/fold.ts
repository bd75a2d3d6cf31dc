/** The server's view with this phone's own taps laid over it: what is shown before it has spoken. */
import type { Said, Tap } from '../store/tap';
import { inShopTime } from './clock';
import { coatTold, glueUpTold } from './fold-groups';
import { thingTold } from './fold-things';
import type { View } from './view';

/** One tap laid over a view. `at` is in shop time. */
export type Folding = (view: View, said: Said, at: string, id: string) => View;

const FOLDINGS: Record<string, Folding> = { ...thingTold, ...glueUpTold, ...coatTold };

/** Taps that the view does not hold yet, oldest first. */
export function pending(taps: readonly Tap[], view_now: string): Tap[] {
  return taps
    .filter((tap) => tap.state !== 'refused')
    .filter((tap) => tap.state === 'kept' || (tap.answered_at ?? '') > view_now);
}

export function fold(view: View, taps: readonly Tap[]): View {
  const waiting = pending(taps, view.now);
  const struck = new Set(
    waiting.filter((tap) => tap.verb === 'struck_out').map((tap) => tap.said.target),
  );
  return waiting
    .filter((tap) => !struck.has(tap.id))
    .reduce((shown, tap) => {
      const folding = FOLDINGS[tap.verb];
      return folding ? folding(shown, tap.said, inShopTime(tap.at), tap.id) : shown;
    }, view);
}
