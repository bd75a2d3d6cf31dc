/** A new place: a spot with its own air. */
import { useSignal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { say } from '../words/say';

export default function AirNew() {
  const { route } = useLocation();
  const name = useSignal('');
  const make = async (event: Event) => {
    event.preventDefault();
    const place = newId();
    if (!name.value.trim()) return;
    if (await tell('place_made', { place, name: name.value.trim() })) route(`/air/${place}`);
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('air.new_place')}</h1>
      <form class="stack" onSubmit={make}>
        <label class="field">
          <span>{say('air.place_name')}</span>
          <input
            required
            maxLength={80}
            value={name.value}
            onInput={(event) => (name.value = event.currentTarget.value)}
          />
        </label>
        <button type="submit" class="tape tape-wide">
          <span class="tape-verb">{say('air.make_place')}</span>
        </button>
      </form>
    </main>
  );
}
