/** Asked at the moment it is worth something: a wait is running, and this phone would stay silent. */
import { useSignal } from '@preact/signals';
import { mayRecord, view } from '../models/shop';
import { leave, letItRing } from '../sync/push';
import { say } from '../words/say';
import { Tape } from './tape';

const KEY = 'cureclock.ring_asked';
const AGAIN_MS = 7 * 24 * 3_600_000;

export function AskPush() {
  const put_off = useSignal(putOff());
  const waits = view.value?.groups.some((group) => !group.provisional) ?? false;
  if (put_off.value || leave.value !== 'default' || !waits || !mayRecord.value) return null;
  const later = () => {
    put_off.value = true;
    try {
      localStorage.setItem(KEY, String(Date.now()));
    } catch {
      // It asks again when the app is opened again.
    }
  };
  const allow = async () => {
    await letItRing().catch(() => false);
    later();
  };
  return (
    <section class="part part-ask">
      <h2 class="verb">{say('ring.ask')}</h2>
      <p>{say('ring.ask_why')}</p>
      <div class="pair">
        <Tape verb={say('ring.allow')} onTap={allow} />
        <button type="button" class="quiet" onClick={later}>
          {say('ring.later')}
        </button>
      </div>
    </section>
  );
}

function putOff(): boolean {
  try {
    return Date.now() - Number(localStorage.getItem(KEY) ?? 0) < AGAIN_MS;
  } catch {
    return false;
  }
}
