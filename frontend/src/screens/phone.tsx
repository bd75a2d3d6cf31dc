/** What this phone still keeps, what was refused and why. Nothing here is ever thrown away unread. */
import { inShopTime, minute } from '../models/clock';
import { pictures, refused, served, unsent, unsentPictures } from '../models/shop';
import { readTaps } from '../models/tell';
import type { KeptPicture } from '../store/database';
import { dropPicture } from '../store/pictures';
import { dismissTap } from '../store/taps';
import type { Tap } from '../store/tap';
import { sync } from '../sync/beat';
import { readPictures } from '../sync/pictures';
import { Sign } from '../parts/sign';
import { say, word } from '../words/say';
import { when } from '../words/times';

export default function Phone() {
  const no = pictures.value.filter((one) => one.problem);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.phone')}</h1>
      <section class="stack">
        <h2 class="part-head">{say('phone.kept')}</h2>
        {unsent.value.length + unsentPictures.value.length === 0 && <p>{say('phone.none_kept')}</p>}
        <ul class="rows">
          {unsent.value.map((tap) => (
            <li class="kept" key={tap.number}>
              <Sign kind="kept" /> {tapWords(tap)}
            </li>
          ))}
          {unsentPictures.value.map((one) => (
            <li class="kept" key={one.id}>
              <Sign kind="kept" /> {pictureWords(one)}
            </li>
          ))}
        </ul>
        <button type="button" class="quiet" onClick={() => void sync()}>
          {say('phone.try')}
        </button>
      </section>
      {refused.value.length + no.length > 0 && (
        <section class="stack">
          <h2 class="part-head">{say('phone.refused')}</h2>
          {refused.value.map((tap) => (
            <Refused
              key={tap.number}
              words={tapWords(tap)}
              why={tap.problem?.detail}
              dismiss={() => dismissTap(tap.number).then(readTaps)}
            />
          ))}
          {no.map((one) => (
            <Refused
              key={one.id}
              words={pictureWords(one)}
              why={one.problem?.detail}
              dismiss={() => dropPicture(one.id).then(readPictures)}
            />
          ))}
        </section>
      )}
      <p class="soft">
        {say('phone.version', { app: __APP__, shed: served.value?.version ?? '?' })}
      </p>
    </main>
  );
}

interface RefusedProps {
  words: string;
  why: string | undefined;
  dismiss: () => Promise<void>;
}

function Refused({ words, why, dismiss }: RefusedProps) {
  return (
    <div class="notice notice-heed">
      <Sign kind="heed" />
      <div>
        <p>
          <b>{words}</b>
        </p>
        <p>{why}</p>
        <button
          type="button"
          class="quiet"
          aria-label={`${say('phone.dismiss')} – ${words}`}
          onClick={() => void dismiss()}
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

function pictureWords(one: KeptPicture): string {
  return say('picture.of_one', { what: one.about });
}
