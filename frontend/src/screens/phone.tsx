/** What this phone still keeps, what was refused and why. Nothing here is ever thrown away unread. */
import { inShopTime, minute } from '../models/clock';
import { refused, served, unsent } from '../models/shop';
import { readTaps } from '../models/tell';
import { dismissTap } from '../store/taps';
import type { Tap } from '../store/tap';
import { sync } from '../sync/beat';
import { Sign } from '../parts/sign';
import { say, word } from '../words/say';
import { when } from '../words/times';

export function Phone() {
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.phone')}</h1>
      <section class="stack">
        <h2 class="part-head">{say('phone.kept')}</h2>
        {unsent.value.length === 0 && <p>{say('phone.none_kept')}</p>}
        <ul class="rows">
          {unsent.value.map((tap) => (
            <li class="kept" key={tap.number}>
              <Sign kind="kept" /> {tapWords(tap)}
            </li>
          ))}
        </ul>
        <button type="button" class="quiet" onClick={() => void sync()}>
          {say('phone.try')}
        </button>
      </section>
      {refused.value.length > 0 && (
        <section class="stack">
          <h2 class="part-head">{say('phone.refused')}</h2>
          {refused.value.map((tap) => (
            <Refused tap={tap} key={tap.number} />
          ))}
        </section>
      )}
      <p class="soft">
        {say('phone.version', { app: __APP__, shed: served.value?.version ?? '?' })}
      </p>
    </main>
  );
}

function Refused({ tap }: { tap: Tap }) {
  const dismiss = async () => {
    await dismissTap(tap.number);
    await readTaps();
  };
  return (
    <div class="notice notice-heed">
      <Sign kind="heed" />
      <div>
        <p>
          <b>{tapWords(tap)}</b>
        </p>
        <p>{tap.problem?.detail}</p>
        <button
          type="button"
          class="quiet"
          aria-label={`${say('phone.dismiss')} – ${tapWords(tap)}`}
          onClick={dismiss}
        >
          {say('phone.dismiss')}
        </button>
      </div>
    </div>
  );
}

function tapWords(tap: Tap): string {
  return say('phone.about', {
    verb: word(`verb.${tap.verb}`),
    at: when(inShopTime(tap.at), minute.value),
  });
}
