/** One button makes this phone a key to the workshop. */
import { useSignal } from '@preact/signals';
import { useLocation, useRoute } from 'preact-iso';
import { post, speakAs } from '../sync/ask';
import { sync } from '../sync/beat';
import { served, unsent } from '../models/shop';
import { forgetAll } from '../store/kept';
import type { Thing } from '../models/view';
import { NameField } from '../parts/name-field';
import { Tape } from '../parts/tape';
import { say, type Key } from '../words/say';
import { Wrong } from '../parts/wrong';

interface Paired {
  phone: Thing;
  person: Thing;
  role: string;
  workshop: Thing & { zone: string };
}

export function Pair() {
  const { params } = useRoute();
  const { route } = useLocation();
  const name = useSignal(say(kindOfPhone()));
  const failed = useSignal(false);
  const shop = useSignal('');
  const owner = useSignal('');
  const before = served.value?.workshop;
  const pair = async () => {
    try {
      const paired = await post<Paired>('/api/pair', {
        // What stands after a # is neither sent to a server nor kept in its logs.
        token: params.token ?? location.hash.slice(1),
        phone_name: name.value,
        zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
        ...(shop.value.trim() && { workshop_name: shop.value.trim() }),
        ...(owner.value.trim() && { person_name: owner.value.trim() }),
      });
      speakAs(paired.phone.id);
      if (before && before.id !== paired.workshop.id) await forgetAll();
      await sync();
      route(served.value?.places.length ? '/now' : '/setup', true);
    } catch {
      failed.value = true;
    }
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('pair.head')}</h1>
      <p>{say('pair.why')}</p>
      <NameField label="pair.name" value={name} />
      <details>
        <summary class="quiet">{say('pair.first')}</summary>
        <div class="stack unfolded">
          <NameField label="pair.shop" value={shop} />
          <NameField label="pair.owner" value={owner} />
        </div>
      </details>
      {before && unsent.value.length > 0 && (
        <p class="notice notice-heed">{say('pair.keeps', { workshop: before.name })}</p>
      )}
      <Wrong says={failed.value ? say('pair.failed') : ''} />
      <Tape wide verb={say('pair.do')} onTap={pair} />
    </main>
  );
}

/** Nobody wants to type: the wider side of the screen tells well enough. */
function kindOfPhone(): Key {
  const long = Math.max(screen.width, screen.height);
  if (navigator.maxTouchPoints === 0) return 'phone.name.computer';
  return long > 1000 ? 'phone.name.tablet' : 'phone.name.phone';
}
