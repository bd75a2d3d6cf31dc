/** The last tap can be taken back for ten minutes: at hand at first, then at the head of the page. */
import { inShopTime, minute } from '../models/clock';
import { taps } from '../models/shop';
import { undo, undoable } from '../models/tell';
import type { Tap } from '../store/tap';
import { say, word } from '../words/say';
import { clock } from '../words/times';
import { Sign } from './sign';

const AT_HAND_MS = 60_000;

export function Undo({ at_hand }: { at_hand: boolean }) {
  const tap = undoable(taps.value);
  if (!tap || isFresh(tap) !== at_hand) return null;
  const about = say('undo.about', {
    verb: word(`verb.${tap.verb}`),
    at: clock(inShopTime(tap.at)),
  });
  return (
    <div class="undo" role="status">
      <p>
        {tap.state === 'kept' && <Sign kind="kept" />}
        <span>
          <b>{about}</b>
          {tap.state === 'kept' && <span class="soft"> {say('kept.here')}</span>}
        </span>
      </p>
      <button
        type="button"
        class="quiet"
        aria-label={`${say('undo.do')} – ${about}`}
        onClick={() => undo(tap)}
      >
        {say('undo.do')}
      </button>
    </div>
  );
}

function isFresh(tap: Tap): boolean {
  void minute.value;
  return Date.now() - Date.parse(tap.pressed_at) < AT_HAND_MS;
}
