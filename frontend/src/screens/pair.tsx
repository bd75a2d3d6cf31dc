/** One button makes this phone a key to the workshop. */
import { useSignal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { served, unsent } from '../models/shop';
import { kindOfPhone, useEntered, type Paired } from '../parts/entered';
import { Fold } from '../parts/fold';
import { NameField } from '../parts/name-field';
import { SignIn } from '../parts/sign-in';
import { Tape } from '../parts/tape';
import { Wrong } from '../parts/wrong';
import { post } from '../sync/ask';
import { say } from '../words/say';

export function Pair() {
  const { params } = useRoute();
  const entered = useEntered();
  const name = useSignal(say(kindOfPhone()));
  const failed = useSignal(false);
  const shop = useSignal('');
  const owner = useSignal('');
  const before = served.value?.workshop;
  // What stands after a # is neither sent to a server nor kept in its logs.
  const token = params.token ?? location.hash.slice(1);
  const pair = async () => {
    try {
      const paired = await post<Paired>('/api/pair', {
        token,
        phone_name: name.value,
        zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
        ...(shop.value.trim() && { workshop_name: shop.value.trim() }),
        ...(owner.value.trim() && { person_name: owner.value.trim() }),
      });
      await entered(paired);
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
      {!token && <Fold title={say('signin.head')}>{() => <SignIn />}</Fold>}
    </main>
  );
}
