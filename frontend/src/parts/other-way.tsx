/** Mail, or a service somebody uses already. */
import { useSignal } from '@preact/signals';
import { post } from '../sync/ask';
import { say } from '../words/say';
import { Choose } from './choose';
import { problemWords, Wrong } from './wrong';

const KINDS = ['email', 'notifier'] as const;

export function OtherWay({ onAdded }: { onAdded: () => unknown }) {
  const kind = useSignal<string>('email');
  const address = useSignal('');
  const wrong = useSignal('');
  const add = async (event: Event) => {
    event.preventDefault();
    try {
      await post('/api/ways', { kind: kind.value, address: address.value.trim() });
      wrong.value = address.value = '';
      onAdded();
    } catch (cause) {
      wrong.value = problemWords(cause);
    }
  };
  return (
    <form class="stack" onSubmit={add}>
      <h2 class="part-head">{say('ring.another')}</h2>
      <Choose
        legend={say('ring.another_kind')}
        chosen={new Set([kind.value])}
        onChoose={(value) => (kind.value = value)}
        choices={KINDS.map((one) => ({ value: one, label: say(`ring.kind.${one}`) }))}
      />
      <label class="field">
        <span>{say('ring.address')}</span>
        <input
          required
          maxLength={1000}
          autocomplete="off"
          autocapitalize="none"
          value={address.value}
          onInput={(event) => (address.value = event.currentTarget.value)}
        />
      </label>
      <Wrong says={wrong.value} />
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('ring.add')}</span>
      </button>
    </form>
  );
}
