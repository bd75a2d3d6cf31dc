/** Which thermometers report by themselves, who is silent, whom does the place believe? */
import { useSignal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { minute } from '../models/clock';
import { sensors, type Keyed, type Sensor } from '../models/sensors';
import { isOwner, place as placeOf } from '../models/shop';
import { tell } from '../models/tell';
import { Choose } from '../parts/choose';
import { Field } from '../parts/field';
import { LinkRow } from '../parts/link-row';
import { Missing } from '../parts/missing';
import { OnceToken } from '../parts/once-token';
import { Sign } from '../parts/sign';
import { pullSensors, useSensors } from '../parts/use-sensors';
import { problemWords } from '../parts/wrong';
import { post } from '../sync/ask';
import { temp } from '../units/temperature';
import { count, say } from '../words/say';
import { number, when } from '../words/times';

const RHYTHMS_MIN = [1, 5, 15, 60];

export default function Sensors() {
  const { params } = useRoute();
  const failed = useSensors();
  const place = placeOf(params.id ?? '');
  if (!place) return <Missing />;
  const own = sensors.value?.sensors.filter((one) => one.place.id === place.id) ?? [];
  return (
    <main class="room" id="main">
      <header>
        <h1 class="verb">{say('sensor.head')}</h1>
        <p class="line-name">{place.name}</p>
      </header>
      {failed && !sensors.value && <p role="alert">{say('sensor.needs_signal')}</p>}
      {sensors.value && own.length === 0 && <p>{say('sensor.none')}</p>}
      {own.map((one) => (
        <OneSensor one={one} key={one.id} />
      ))}
      {isOwner.value && own.length > 1 && <Believed place={place.id} own={own} />}
      {isOwner.value && <NewSensor place={place.id} />}
      <LinkRow href="/broker" title={say('broker.head')} note={say('broker.asks')} />
    </main>
  );
}

function OneSensor({ one }: { one: Sensor }) {
  return (
    <section class="stack container">
      <div>
        <h2 class="line-name">{one.name}</h2>
        <SensorState one={one} />
      </div>
      <a class="quiet" href={`/sensor/${one.id}`}>
        {say('sensor.open')}
        <span class="soft">{say('sensor.open_note')}</span>
      </a>
    </section>
  );
}

/** The last word, silence, what counts, what is wrong: each with its shape. */
export function SensorState({ one }: { one: Sensor }) {
  const now = minute.value;
  const silent = one.gone_at ?? one.silent_since;
  return (
    <>
      <p>
        {one.last
          ? say(one.last.rh_pct === null ? 'sensor.last' : 'sensor.last_rh', {
              temp: temp(one.last.temp_c),
              rh: one.last.rh_pct === null ? '' : number(one.last.rh_pct, 0),
              at: when(one.last.at, now),
            })
          : say('sensor.never')}
      </p>
      {silent && (
        <p class="line-when">
          <Sign kind="heed" />
          <span>
            {say(one.gone_at ? 'sensor.gone' : 'sensor.silent', { at: when(silent, now) })}
          </span>
        </p>
      )}
      {!one.believed && (
        <p class="line-when">
          <Sign kind="unsure" />
          <span>{say('sensor.not_believed')}</span>
        </p>
      )}
      {one.doubted > 0 && (
        <p class="line-when">
          <Sign kind="heed" />
          <span>{count('sensor.doubted', one.doubted)}</span>
        </p>
      )}
    </>
  );
}

function Believed({ place, own }: { place: string; own: readonly Sensor[] }) {
  const told = sensors.value?.places.find((one) => one.id === place)?.believed?.id ?? '';
  const said = useSignal<string | undefined>(undefined);
  const choose = async (sensor: string) => {
    const body = { place, sensor: sensor || null };
    if (await tell('sensor_believed', body)) said.value = sensor;
  };
  return (
    <section class="stack">
      <Choose
        legend={say('sensor.believe')}
        chosen={new Set([said.value ?? told])}
        onChoose={(sensor) => void choose(sensor)}
        choices={[
          { value: '', label: say('sensor.believe_all') },
          ...own.map((one) => ({ value: one.id, label: one.name })),
        ]}
      />
      <p class="soft">{say('sensor.believe_note')}</p>
    </section>
  );
}

function NewSensor({ place }: { place: string }) {
  const name = useSignal('');
  const rhythm = useSignal('15');
  const wrong = useSignal('');
  const made = useSignal<Keyed | undefined>(undefined);
  const add = async (event: Event) => {
    event.preventDefault();
    if (!name.value.trim()) return;
    const rhythm_s = Number(rhythm.value) * 60;
    try {
      made.value = await post<Keyed>('/api/sensors', { place, name: name.value.trim(), rhythm_s });
      name.value = wrong.value = '';
      await pullSensors().catch(() => undefined);
    } catch (cause) {
      wrong.value = problemWords(cause);
    }
  };
  return (
    <>
      {made.value && <OnceToken token={made.value.token} />}
      <form class="stack" onSubmit={add}>
        <h2 class="part-head">{say('sensor.new')}</h2>
        <Field label={say('sensor.name')} value={name} required />
        <Choose
          small
          legend={say('sensor.rhythm')}
          chosen={new Set([rhythm.value])}
          onChoose={(value) => (rhythm.value = value)}
          choices={RHYTHMS_MIN.map((min) => ({
            value: String(min),
            label: say('time.minutes', { minutes: min }),
          }))}
        />
        {wrong.value && <p role="alert">{wrong.value}</p>}
        <button type="submit" class="tape tape-wide">
          <span class="tape-verb">{say('sensor.put_up')}</span>
        </button>
      </form>
    </>
  );
}
