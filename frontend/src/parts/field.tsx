/** One thing that is typed, large enough for a glove. */
import type { Signal } from '@preact/signals';

interface Props {
  label: string;
  value: Signal<string>;
  type?: 'text' | 'date' | 'time' | 'datetime-local' | 'password';
  mode?: 'text' | 'decimal' | 'numeric';
  hint?: string;
  most?: number;
  required?: boolean;
}

export function Field({ label, value, type = 'text', mode = 'text', hint, most, required }: Props) {
  return (
    <label class="field">
      <span>{label}</span>
      <input
        type={type as 'text'}
        inputMode={mode}
        maxLength={most ?? 80}
        required={required ?? false}
        autocomplete="off"
        placeholder={hint ?? ''}
        value={value.value}
        onInput={(event) => (value.value = event.currentTarget.value)}
      />
    </label>
  );
}
