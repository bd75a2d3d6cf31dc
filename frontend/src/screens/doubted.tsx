/** Readings that cannot be quite right: a person says whether they are. */
import { useSignal } from '@preact/signals';
import { minute } from '../models/clock';
import { doubted, type Stretch } from '../models/sensors';
import { mayRecord } from '../models/shop';
import { tell } from '../models/tell';
import { Sign } from '../parts/sign';
import { Tape } from '../parts/tape';
import { useDoubted } from '../parts/use-sensors';
import { temp } from '../units/temperature';
import { count, say, word, type Key } from '../words/say';
import { when } from '../words/times';

export default function Doubted() {
  const failed = useDoubted();
  const said = useSignal<Record<string, boolean>>({});
  const rule = async (one: Stretch, right: boolean) => {
    const { sensor, since, until } = one;
    const body = { sensor: sensor.id, since, until, right };
    if (await tell('reading_ruled', body, 0)) said.value = { ...said.value, [keyOf(one)]: right };
  };
  const shown = (doubted.value ?? []).map((one) => ({
    ...one,
    right: said.value[keyOf(one)] ?? one.right,
  }));
  const open = shown.filter((one) => one.right === null);
  const ruled = shown.filter((one) => one.right !== null);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('doubt.head')}</h1>
      <p>{say('doubt.note')}</p>
      {failed && !doubted.value && <p role="alert">{say('sensor.needs_signal')}</p>}
      {doubted.value && open.length === 0 && <p>{say('doubt.none')}</p>}
      {open.map((one) => (
        <One one={one} onRule={rule} key={keyOf(one)} />
      ))}
      {ruled.length > 0 && (
        <section class="stack">
          <h2 class="part-head">{say('doubt.ruled')}</h2>
          {ruled.map((one) => (
            <One one={one} onRule={rule} key={keyOf(one)} />
          ))}
        </section>
      )}
    </main>
  );
}

function keyOf(one: Stretch): string {
  return `${one.sensor.id} ${one.since} ${one.until}`;
}

interface Props {
  one: Stretch;
  onRule: (one: Stretch, right: boolean) => Promise<void>;
}

function One({ one, onRule }: Props) {
  const now = minute.value;
  const { sensor, place, since, until, lowest_c, highest_c, right } = one;
  const about = `${sensor.name} ${when(since, now)}`;
  return (
    <article class="stack container">
      <div>
        <h2 class="line-name">
          {sensor.name}, {place.name}
        </h2>
        <p>
          {when(since, now)} – {when(until, now)}, {count('doubt.rows', one.count)}
        </p>
        <p class="line-name figures">
          {lowest_c === highest_c ? temp(lowest_c) : `${temp(lowest_c)} – ${temp(highest_c)}`}
        </p>
        <p class="line-when">
          <Sign kind="unsure" />
          <span>
            {word(`doubt.why.${one.doubt}`)}{' '}
            {right === null ? say(`doubt.side.${one.side}` as Key) : ''}
          </span>
        </p>
        {right !== null && <p>{say(right ? 'doubt.is_right' : 'doubt.is_wrong')}</p>}
      </div>
      {mayRecord.value && (
        <div class="pair">
          {right !== true && (
            <Tape verb={say('doubt.right')} about={about} onTap={() => onRule(one, true)} />
          )}
          {right !== false && (
            <Tape verb={say('doubt.wrong')} about={about} onTap={() => onRule(one, false)} />
          )}
        </div>
      )}
    </article>
  );
}
