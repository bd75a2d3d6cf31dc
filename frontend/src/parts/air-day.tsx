/** The air of a usual day by the clock, as somebody knows it: it is reckoned with after the last reading. */
import { useSignal } from '@preact/signals';
import { tell } from '../models/tell';
import type { Place } from '../models/view';
import { settings } from '../models/settings';
import { decimal } from '../units/decimal';
import { temp, toCelsius } from '../units/temperature';
import { say } from '../words/say';
import { Wrong } from './wrong';

interface Point {
  clock: string;
  typed: string;
}

const LOW_C = -40;
const HIGH_C = 60;
const FIRST: Point[] = ['05:00', '09:00', '15:00', '21:00'].map((clock) => ({ clock, typed: '' }));

export function DayTold({ place }: { place: Place }) {
  const points = useSignal(FIRST);
  const wrong = useSignal('');
  const change = (at: number, more: Partial<Point>) =>
    (points.value = points.value.map((one, i) => (i === at ? { ...one, ...more } : one)));
  const keep = async (event: Event) => {
    event.preventDefault();
    const day = points.value
      .filter((one) => one.typed.trim() !== '')
      .map(({ clock, typed }) => ({ clock, temp_c: toCelsius(decimal(typed)) }));
    wrong.value = faultOf(day);
    if (wrong.value) return;
    if (await tell('air_expected', { place: place.id, day })) points.value = FIRST;
  };
  return (
    <details>
      <summary class="quiet">{say('air.day')}</summary>
      <form class="stack unfolded" onSubmit={keep}>
        <p class="soft">{say('air.day_note')}</p>
        {points.value.map((one, at) => (
          <fieldset class="pair" key={at}>
            <legend class="unseen">{say('air.day_point', { number: at + 1 })}</legend>
            <label class="field">
              <span>{say('air.day_clock')}</span>
              <input
                type="time"
                value={one.clock}
                onInput={(event) => change(at, { clock: event.currentTarget.value })}
              />
            </label>
            <label class="field">
              <span>{say('air.day_temp', { unit: settings.value.temperature })}</span>
              <input
                inputMode="decimal"
                autocomplete="off"
                value={one.typed}
                onInput={(event) => change(at, { typed: event.currentTarget.value })}
              />
            </label>
          </fieldset>
        ))}
        <button
          type="button"
          class="quiet"
          onClick={() => (points.value = [...points.value, { clock: '', typed: '' }])}
        >
          {say('air.day_more')}
        </button>
        <Wrong says={wrong.value} />
        <button type="submit" class="tape">
          <span class="tape-verb">{say('air.tonight_keep')}</span>
        </button>
        <button
          type="button"
          class="quiet"
          onClick={() => void tell('air_expected', { place: place.id, day: [] })}
        >
          {say('air.day_none')}
        </button>
      </form>
    </details>
  );
}

function faultOf(day: readonly { clock: string; temp_c: number }[]): string {
  if (!day.length || day.some(({ temp_c }) => !(temp_c >= LOW_C && temp_c <= HIGH_C)))
    return say('air.day_bad_temp', { low: temp(LOW_C, 0), high: temp(HIGH_C, 0) });
  const clocks = day.map((one) => one.clock);
  return clocks.includes('') || new Set(clocks).size < clocks.length ? say('air.day_bad_clock') : '';
}
