/** A name that is typed: as long as a record keeps one. */
import type { Signal } from '@preact/signals';
import { say, type Key } from '../words/say';

interface Props {
  label: Key;
  value: Signal<string>;
  required?: boolean;
}

export function NameField({ label, value, required = false }: Props) {
  return (
    <label class="field">
      <span>{say(label)}</span>
      <input
        required={required}
        maxLength={80}
        value={value.value}
        onInput={(event) => (value.value = event.currentTarget.value)}
      />
    </label>
  );
}
