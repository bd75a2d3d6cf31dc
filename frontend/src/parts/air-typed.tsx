/** A reading typed in: now, or for the hour at which it was read. */
import { useSignal } from '@preact/signals';
import { minutesSince, shopTime } from '../models/clock';
import { settings } from '../models/settings';
import { tell } from '../models/tell';
import type { Place } from '../models/view';
import { decimal } from '../units/decimal';
import { temp, toCelsius } from '../units/temperature';
import { say } from '../words/say';
import { instantOf } from '../words/times';
import { Field } from './field';
import { Wrong } from './wrong';

const LOW_C = -60;
const HIGH_C = 100;

export function TypedAir({ place }: { place: Place }) {
  const told_temp = useSignal('');
  const told_rh = useSignal('');
  const told_at = useSignal('');
  const wrong = useSignal('');
  const write = async (event: Event) => {
    event.preventDefault();
    const temp_c = toCelsius(decimal(told_temp.value));
    const rh_pct = told_rh.value.trim() === '' ? null : decimal(told_rh.value);
    const at = instantOf(told_at.value);
    wrong.value = fault(temp_c, rh_pct, at);
    if (wrong.value) return;
    const said = { place: place.id, temp_c, ...(rh_pct !== null && { rh_pct }) };
    if (await tell('reading_taken', said, at === undefined ? at : minutesSince(at)))
      told_temp.value = told_rh.value = told_at.value = '';
  };
  return (
    <form class="stack" onSubmit={write}>
      <Field
        label={say('air.type_temp', { unit: settings.value.temperature })}
        value={told_temp}
        mode="decimal"
      />
      <Field label={say('air.type_rh')} value={told_rh} mode="decimal" />
      <Field label={say('air.type_at')} value={told_at} type="datetime-local" />
      <Wrong says={wrong.value} />
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('tap.reading')}</span>
      </button>
    </form>
  );
}

function fault(temp_c: number, rh_pct: number | null, at: number | undefined): string {
  if (!(temp_c >= LOW_C && temp_c <= HIGH_C)) {
    return say('air.bad_temp', { low: temp(LOW_C, 0), high: temp(HIGH_C, 0) });
  }
  if (rh_pct !== null && !(rh_pct >= 0 && rh_pct <= 100)) return say('air.bad_rh');
  return at !== undefined && !(at <= shopTime()) ? say('air.bad_at') : '';
}
