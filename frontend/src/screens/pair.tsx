/** One button makes this phone a key to the workshop. */
import { useSignal } from '@preact/signals';
import { useLocation, useRoute } from 'preact-iso';
import { post, speakAs } from '../sync/ask';
import { sync } from '../sync/beat';
import { served } from '../models/shop';
import type { Thing } from '../models/view';
import { Tape } from '../parts/tape';
import { say, type Key } from '../words/say';

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
  const pair = async () => {
    try {
      const paired = await post<Paired>('/api/pair', {
        token: params.token,
        phone_name: name.value,
      });
      speakAs(paired.phone.id);
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
      <label class="field">
        <span>{say('pair.name')}</span>
        <input
          maxLength={80}
          value={name.value}
          onInput={(event) => (name.value = event.currentTarget.value)}
        />
      </label>
      {failed.value && (
        <p class="notice notice-stop" role="alert">
          {say('pair.failed')}
        </p>
      )}
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
