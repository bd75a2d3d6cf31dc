/** Is it fit for coating now and until dry? How cold was it, and how cold will it get? */
import { expectedLow, lowestTold } from '../models/air';
import { minute } from '../models/clock';
import { mayRecord, view } from '../models/shop';
import { airStrip } from '../models/strip';
import type { Place } from '../models/view';
import { LinkRow } from '../parts/link-row';
import { NightStrip } from '../parts/night-strip';
import { Sign } from '../parts/sign';
import { temp } from '../units/temperature';
import { say } from '../words/say';
import { span, when } from '../words/times';

const OLD_MS = 4 * 3_600_000;

export default function Air() {
  const places = view.value?.places ?? [];
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.air')}</h1>
      {places.length === 0 && <p>{say('air.none')}</p>}
      {places.map((place) => (
        <PlaceAir place={place} key={place.id} />
      ))}
      <LinkRow href="/doubted" title={say('doubt.head')} note={say('doubt.asks')} />
      {mayRecord.value && <LinkRow href="/air/new" title={say('air.new_place')} />}
    </main>
  );
}

function PlaceAir({ place }: { place: Place }) {
  const low = expectedLow(place, minute.value);
  return (
    <section class="place">
      <h2 class="where">{place.name}</h2>
      <Figures place={place} />
      {place.recent.length + place.expected.length > 1 && (
        <NightStrip
          strip={airStrip(place, minute.value)}
          now_ms={minute.value}
          label={say('air.strip', {
            place: place.name,
            temp: place.reading ? temp(place.reading.temp_c) : '',
            low: low ? temp(low.temp_c) : '',
          })}
        />
      )}
      {low && (
        <p>
          {say('air.expected_low', { temp: temp(low.temp_c, 0), at: when(low.at, minute.value) })}
        </p>
      )}
      {mayRecord.value && (
        <LinkRow href={`/air/${place.id}`} title={say('air.lowest')} note={toldNote(place)} />
      )}
    </section>
  );
}

function toldNote(place: Place): string {
  const told = lowestTold(place, minute.value);
  return told === undefined
    ? say('air.lowest_which')
    : say('air.lowest_told', { temp: temp(told) });
}

export function Figures({ place }: { place: Place }) {
  const reading = place.reading;
  if (!reading) {
    return (
      <p class="line-when">
        <Sign kind="unsure" /> {say('air.no_reading')}
      </p>
    );
  }
  const age_ms = Math.max(0, minute.value - Date.parse(reading.at));
  const ago = say('time.ago', { span: span(age_ms) });
  return (
    <div class="air-figures">
      <p class="air-temp figures">{temp(reading.temp_c)}</p>
      <p>
        {reading.rh_pct === null
          ? say('air.rh_missing')
          : say('air.rh', { rh: Math.round(reading.rh_pct) })}
        <br />
        <span class="soft">
          {age_ms > OLD_MS && <Sign kind="unsure" />}{' '}
          {say('air.age', { mark: say(`mark.${reading.mark}`), ago })}
        </span>
      </p>
    </div>
  );
}
