/** One place: the night's lowest in one touch, or a reading typed in. */
import { useSignal } from '@preact/signals';
import { useLocation, useRoute } from 'preact-iso';
import { lowGuess, tilesAround } from '../models/air';
import { minute } from '../models/clock';
import { place as placeOf } from '../models/shop';
import { tell } from '../models/tell';
import type { Place } from '../models/view';
import { Ago } from '../parts/ago';
import { DayTold } from '../parts/air-day';
import { TypedAir } from '../parts/air-typed';
import { Cautions } from '../parts/caution';
import { Field } from '../parts/field';
import { Figure } from '../parts/figure';
import { LinkRow } from '../parts/link-row';
import { Missing } from '../parts/missing';
import { Tape } from '../parts/tape';
import { shownTemp, temp, toCelsius } from '../units/temperature';
import { say } from '../words/say';
import { instantOf } from '../words/times';
import { Figures } from './air';

const SHIFT = 6;

export default function AirPlace() {
  const { params } = useRoute();
  const place = placeOf(params.id ?? '');
  if (!place) return <Missing />;
  return (
    <main class="room" id="main">
      <h1 class="row-title">{place.name}</h1>
      <Lowest place={place} />
      <section class="stack">
        <h2 class="verb">{say('air.type')}</h2>
        <Figures place={place} />
        <TypedAir place={place} />
      </section>
      <Ago />
      <Heater place={place} />
      <Tonight place={place} />
      <DayTold place={place} />
      <LinkRow
        href={`/air/${place.id}/sensors`}
        title={say('sensor.head')}
        note={say('sensor.asks')}
      />
    </main>
  );
}

function Heater({ place }: { place: Place }) {
  const heater = (off: boolean) => tell('air_expected', { place: place.id, heater_off: off });
  return (
    <section class="stack">
      <h2 class="verb">{say('air.heater')}</h2>
      <Cautions keys={['heaters']} container={place.id} />
      <div class="pair">
        <Tape verb={say('tap.heater_on')} about={place.name} onTap={() => heater(false)} />
        <Tape verb={say('tap.heater_off')} about={place.name} onTap={() => heater(true)} />
      </div>
    </section>
  );
}

/** The low foretold outside and how fast the place follows: what Tonight is worked out from. */
function Tonight({ place }: { place: Place }) {
  const told = useSignal<{ outside_low_c?: number | undefined; half_gap_h?: number | undefined }>(
    {},
  );
  const heater_on = useSignal('');
  const keep = async (event: Event) => {
    event.preventDefault();
    const { outside_low_c, half_gap_h } = told.value;
    const on_ms = instantOf(heater_on.value);
    const said = {
      place: place.id,
      ...(outside_low_c !== undefined && { outside_low_c }),
      ...(half_gap_h !== undefined && { half_gap_h }),
      ...(on_ms !== undefined && { heater_on_at: new Date(on_ms).toISOString() }),
    };
    if (Object.keys(said).length < 2 || !(await tell('air_expected', said))) return;
    told.value = {};
    heater_on.value = '';
  };
  return (
    <details>
      <summary class="quiet">{say('air.tonight')}</summary>
      <form class="stack unfolded" onSubmit={keep}>
        {(['outside_low_c', 'half_gap_h'] as const).map((name) => (
          <Figure
            key={name}
            label={`air.${name}`}
            value={told.value[name]}
            onValue={(value) => (told.value = { ...told.value, [name]: value })}
          />
        ))}
        <Field type="datetime-local" label={say('air.heater_on_at')} value={heater_on} />
        <button type="submit" class="tape">
          <span class="tape-verb">{say('air.tonight_keep')}</span>
        </button>
      </form>
    </details>
  );
}

/** Whole degrees of the person's own scale, around what was expected. */
function Lowest({ place }: { place: Place }) {
  const { route } = useLocation();
  const middle = useSignal(Math.round(shownTemp(lowGuess(place, minute.peek()))));
  const write = async (shown: number) => {
    const said = { place: place.id, temp_c: Number(toCelsius(shown).toFixed(2)) };
    if (await tell('lowest_last_night', said)) route('/now');
  };
  return (
    <section class="stack">
      <h2 class="verb">{say('air.lowest')}</h2>
      <p class="soft">{say('air.lowest_which')}</p>
      <div class="tiles">
        {tilesAround(middle.value).map((shown) => (
          <Tape
            key={shown}
            verb={temp(toCelsius(shown), 0)}
            about={say('air.lowest')}
            onTap={() => write(shown)}
          />
        ))}
      </div>
      <div class="pair">
        <button type="button" class="quiet" onClick={() => (middle.value -= SHIFT)}>
          {say('air.colder')}
        </button>
        <button type="button" class="quiet" onClick={() => (middle.value += SHIFT)}>
          {say('air.warmer')}
        </button>
      </div>
    </section>
  );
}
