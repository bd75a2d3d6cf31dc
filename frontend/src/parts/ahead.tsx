/** Before the act: what the air is against it, and when its gates would come. */
import { aboveDamp, ahead, belowMinimum, foretold } from '../models/before';
import { minute } from '../models/clock';
import { view } from '../models/shop';
import type { Foretold, Material, Place } from '../models/view';
import { temp } from '../units/temperature';
import { say, word } from '../words/say';
import { span, when } from '../words/times';
import { Sign } from './sign';

interface Props {
  material: Material;
  place: Place;
  title: string;
  kinds: readonly string[];
}

/** Gates told as a length of time, not as a moment. */
const SHORT = new Set(['open_time', 'total_assembly', 'wipe_off']);

export function Ahead({ material, place, title, kinds }: Props) {
  const shown = view.value;
  if (!shown) return null;
  const start = new Date(minute.value).toISOString();
  const gates = ahead(shown, material, place.id, kinds, start);
  return (
    <section class="ahead">
      <h2>{title}</h2>
      <Against material={material} place={place} start={start} />
      <dl class="ahead-list">
        {gates.map(({ kind, found }) => (
          <div key={kind}>
            <dt>{word(`gate.${kind}.name`)}</dt>
            <dd>
              {!found.at
                ? say('time.never')
                : SHORT.has(kind)
                  ? span(Date.parse(found.at) - minute.value)
                  : when(found.at, minute.value, 'up')}
              {!found.table && <span class="soft"> {say('start.label_time')}</span>}
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function Against({ material, place, start }: { material: Material; place: Place; start: string }) {
  const told = view.value ? foretold(view.value, material, place.id, start) : [];
  const { min_c, max_rh_pct } = material.label;
  return (
    <>
      {!place.reading && <Against1 text={say('start.no_air', { place: place.name })} />}
      {belowMinimum(material, place) && min_c !== null && (
        <Against1
          text={say('start.too_cold', {
            place: place.name,
            temp: temp(place.reading!.temp_c),
            min: temp(min_c, 0),
          })}
        />
      )}
      {told.map((one) => (
        <Against1 key={one.cause} text={foretoldWords(one)} />
      ))}
      {aboveDamp(material, place) && max_rh_pct !== null && (
        <Against1
          text={say('start.too_damp', {
            place: place.name,
            rh: Math.round(place.reading!.rh_pct ?? 0),
            max: max_rh_pct,
          })}
        />
      )}
    </>
  );
}

function foretoldWords(one: Foretold): string {
  const at = when(one.at, minute.value, 'down');
  if (one.cause !== 'cold') return word(`wait.foretold.${one.cause}`, { at });
  const latest = one.latest_good
    ? say('wait.foretold_latest', { at: when(one.latest_good, minute.value, 'down') })
    : say('start.cold_note');
  return `${say('start.cold', { at })} ${latest}`;
}

function Against1({ text }: { text: string }) {
  return (
    <div class="notice notice-heed">
      <Sign kind="heed" />
      <p>{text}</p>
    </div>
  );
}
