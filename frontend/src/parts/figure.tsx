/** A figure that is typed: lengths in the person's own unit, and kept in millimetres. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { settings } from '../models/settings';
import { decimal } from '../units/decimal';
import { shownLength, toMm } from '../units/length';
import { shownTemp, toCelsius } from '../units/temperature';
import { word } from '../words/say';

interface Props {
  /** The key of its word; what it ends in says what is measured. */
  label: string;
  value: number | undefined;
  onValue: (value: number | undefined) => void;
}

/** The text stays as it is typed: half a figure is none yet, and must not be taken away. */
export function Figure({ label, value, onValue }: Props) {
  const text = useSignal(value === undefined ? '' : shown(label, value));
  useEffect(() => {
    if (value === undefined && Number.isFinite(read(label, text.peek()))) text.value = '';
  }, [value]);
  const type = (typed: string) => {
    text.value = typed;
    const told = read(label, typed);
    onValue(Number.isFinite(told) ? told : undefined);
  };
  const { length, temperature } = settings.value;
  return (
    <label class="field">
      <span>{word(label, { length, temperature })}</span>
      <input
        inputMode="decimal"
        autocomplete="off"
        value={text.value}
        onInput={(event) => type(event.currentTarget.value)}
      />
    </label>
  );
}

function read(label: string, typed: string): number {
  if (label.endsWith('_mm')) return toMm(typed);
  return label.endsWith('_c') ? toCelsius(decimal(typed)) : decimal(typed);
}

/** What was kept from last time counts, so it is shown, as the person would type it. */
function shown(label: string, value: number): string {
  if (label.endsWith('_mm')) return shownLength(value);
  return String(label.endsWith('_c') ? Math.round(shownTemp(value) * 10) / 10 : value);
}
