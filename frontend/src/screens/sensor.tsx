/** One sensor: how it is heard, how far off it is, what it does wrong, and its logger's files. */
import { useSignal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { minute } from '../models/clock';
import { sensors, type Keyed, type Sensor as SensorOf } from '../models/sensors';
import { settings } from '../models/settings';
import { isOwner, mayRecord } from '../models/shop';
import { tell } from '../models/tell';
import { Field } from '../parts/field';
import { LinkRow } from '../parts/link-row';
import { LoggerFiles } from '../parts/logger-files';
import { Missing } from '../parts/missing';
import { OnceToken } from '../parts/once-token';
import { Tape } from '../parts/tape';
import { pullSensors, useSensors } from '../parts/use-sensors';
import { problemWords } from '../parts/wrong';
import { post } from '../sync/ask';
import { decimal } from '../units/decimal';
import { shownTemp, temp, toCelsius } from '../units/temperature';
import { count, say, word } from '../words/say';
import { number, when } from '../words/times';
import { SensorState } from './sensors';

const MOST_K = 10;
const F_IN_K = 1.8;

export default function Sensor() {
  const { params } = useRoute();
  const failed = useSensors();
  const one = sensors.value?.sensors.find((sensor) => sensor.id === params.id);
  if (!one && (failed || sensors.value)) return <Missing />;
  if (!one) return null;
  return (
    <main class="room" id="main" key={one.id}>
      <header>
        <h1 class="verb">{one.name}</h1>
        <p class="line-name">{one.place.name}</p>
      </header>
      <section>
        <SensorState one={one} />
        <Faults one={one} />
        {one.doubted > 0 && (
          <LinkRow href="/doubted" title={say('doubt.head')} note={say('doubt.asks')} />
        )}
      </section>
      {mayRecord.value && <LoggerFiles sensor={one.id} />}
      {isOwner.value && <Offset one={one} />}
      {isOwner.value && <Token one={one} />}
      {isOwner.value && <TopicOf one={one} />}
    </main>
  );
}

function Faults({ one }: { one: SensorOf }) {
  const shown = one.faults.filter((fault) => fault.count > 0 && fault.kind !== 'gone');
  if (!shown.length) return null;
  return (
    <details>
      <summary class="quiet">{say('sensor.faults')}</summary>
      <ul class="also">
        {shown.map((fault) => (
          <li key={fault.kind}>
            <b>{word(`sensor.fault.${fault.kind}`)}</b>
            <span>
              {count('sensor.times', fault.count)}, {when(fault.last_at, minute.value)}
            </span>
            {fault.sample && <span class="soft address">{fault.sample}</span>}
          </li>
        ))}
      </ul>
    </details>
  );
}

/** Told as what a better one beside it says: the difference is worked out here. */
function Offset({ one }: { one: SensorOf }) {
  const better = useSignal('');
  const wrong = useSignal('');
  const scale = settings.value.temperature === 'F' ? F_IN_K : 1;
  const keep = async (temp_k: number) => {
    wrong.value =
      Math.abs(temp_k) <= MOST_K
        ? ''
        : say('sensor.offset_bad', { most: number(MOST_K * scale, 0) });
    if (wrong.value || Number.isNaN(temp_k)) return;
    const said = { sensor: one.id, temp_k: Number(temp_k.toFixed(2)), rh_pct: one.offset_rh_pct };
    if (await tell('sensor_offset', said)) better.value = '';
  };
  const compare = (event: Event) => {
    event.preventDefault();
    if (!one.last || !better.value.trim()) return;
    void keep(toCelsius(decimal(better.value)) - one.last.temp_c);
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('sensor.offset')}</h2>
      <p>
        {say('sensor.offset_now', {
          offset: number(one.offset_k * scale, 1),
          unit: settings.value.temperature,
        })}
      </p>
      {one.last ? (
        <form class="stack" onSubmit={compare}>
          <p>{say('sensor.offset_how', { temp: temp(one.last.temp_c) })}</p>
          <Field
            label={say('sensor.better', { unit: settings.value.temperature })}
            value={better}
            mode="decimal"
            hint={number(shownTemp(one.last.temp_c + one.offset_k), 1)}
          />
          {wrong.value && <p role="alert">{wrong.value}</p>}
          <button type="submit" class="tape">
            <span class="tape-verb">{say('sensor.offset_keep')}</span>
          </button>
        </form>
      ) : (
        <p>{say('sensor.never')}</p>
      )}
      {one.offset_k !== 0 && (
        <button type="button" class="quiet" onClick={() => void keep(0)}>
          {say('sensor.offset_none')}
        </button>
      )}
    </section>
  );
}

function Token({ one }: { one: SensorOf }) {
  const made = useSignal<Keyed | undefined>(undefined);
  const wrong = useSignal('');
  const ask = async (path: string) => {
    try {
      const told = await post<Partial<Keyed>>(`/api/sensors/${one.id}/${path}`, {});
      made.value = told.token ? (told as Keyed) : undefined;
      wrong.value = '';
      await pullSensors().catch(() => undefined);
    } catch (cause) {
      wrong.value = problemWords(cause);
    }
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('sensor.token')}</h2>
      <p>{say(one.has_token ? 'sensor.token_has' : 'sensor.token_not')}</p>
      {made.value && <OnceToken token={made.value.token} />}
      {wrong.value && <p role="alert">{wrong.value}</p>}
      <details>
        <summary class="quiet">{say('sensor.token_change')}</summary>
        <div class="stack unfolded">
          <p>{say('sensor.token_new_note')}</p>
          <Tape verb={say('sensor.token_new')} about={one.name} onTap={() => ask('token')} />
          {one.has_token && (
            <Tape verb={say('sensor.token_back')} about={one.name} onTap={() => ask('lock-out')} />
          )}
        </div>
      </details>
    </section>
  );
}

/** Under which topic it is heard, and where in its messages what stands. */
function TopicOf({ one }: { one: SensorOf }) {
  const was = one.topic;
  const topic = useSignal(was?.topic ?? '');
  const temp_field = useSignal(was?.temp_field ?? '');
  const rh_field = useSignal(was?.rh_field ?? '');
  const at_field = useSignal(was?.at_field ?? '');
  const status_topic = useSignal(was?.status_topic ?? '');
  const gone_word = useSignal(was?.gone_word ?? 'offline');
  const fahrenheit = useSignal(was?.fahrenheit ?? false);
  const fields = { topic, temp_field, rh_field, at_field, status_topic, gone_word };
  const keep = async (event: Event) => {
    event.preventDefault();
    const told = Object.entries(fields).map(([name, value]) => [name, value.value.trim()]);
    const said = { sensor: one.id, ...Object.fromEntries(told), fahrenheit: fahrenheit.value };
    await tell('sensor_topic', said);
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('topic.head')}</h2>
      <p>{was ? say('topic.now', { topic: was.topic }) : say('topic.none')}</p>
      <LinkRow href="/broker" title={say('broker.head')} note={say('broker.asks')} />
      <details>
        <summary class="quiet">{say('topic.say')}</summary>
        <form class="stack unfolded" onSubmit={keep}>
          {(Object.keys(fields) as (keyof typeof fields)[]).map((name) => (
            <Field key={name} label={say(`topic.${name}`)} value={fields[name]} most={200} />
          ))}
          <label class="switch">
            <input
              type="checkbox"
              checked={fahrenheit.value}
              onChange={() => (fahrenheit.value = !fahrenheit.value)}
            />
            <span>{say('topic.fahrenheit')}</span>
          </label>
          <button type="submit" class="tape">
            <span class="tape-verb">{say('topic.keep')}</span>
          </button>
        </form>
      </details>
    </section>
  );
}
