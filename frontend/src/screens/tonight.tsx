/** How cold will it get, what does that spoil, what closes before morning? */
import { expectedLow } from '../models/air';
import { minute } from '../models/clock';
import { soonest, tablesOf } from '../models/provisional';
import { view } from '../models/shop';
import { airStrip } from '../models/strip';
import type { Gate, Group, Material, View } from '../models/view';
import { LinkRow } from '../parts/link-row';
import { NightStrip } from '../parts/night-strip';
import { NightTold } from '../parts/night-told';
import { temp } from '../units/temperature';
import { say, word } from '../words/say';
import { when } from '../words/times';

const NIGHT_MS = 18 * 3_600_000;

export default function Tonight() {
  const shown = view.value;
  const now = minute.value;
  const groups = shown?.groups ?? [];
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.tonight')}</h1>
      <section class="stack">
        <h2 class="part-head">{say('tonight.colds')}</h2>
        {(shown?.places ?? []).map((place) => {
          const low = expectedLow(place, now);
          const text = low
            ? say('tonight.low', {
                place: place.name,
                temp: temp(low.temp_c, 0),
                at: when(low.at, now),
              })
            : say('tonight.no_word', { place: place.name });
          return (
            <div key={place.id}>
              <p class="line-name">{text}</p>
              {low && <NightStrip strip={airStrip(place, now)} now_ms={now} label={text} />}
            </div>
          );
        })}
      </section>
      <LatestPress />
      <Spoils groups={groups} />
      <Closing groups={groups} />
      <NightTold />
    </main>
  );
}

/** For each glue in each place: until when pressing is still good, by the air expected there. */
function LatestPress() {
  const shown = view.value;
  const glues = (shown?.materials ?? []).filter((one) => one.role === 'adhesive');
  if (!shown || !glues.length) return null;
  return (
    <section>
      <h2 class="part-head">{say('tonight.press')}</h2>
      <ul class="also">
        {glues.flatMap((glue) =>
          shown.places.map((place) => (
            <li key={`${glue.id}${place.id}`}>
              <span>
                <b>{glue.name}</b> <span class="soft">{place.name}</span>
              </span>
              <span>
                {place.reading ? pressWords(shown, glue, place.id) : say('air.no_reading')}
              </span>
            </li>
          )),
        )}
      </ul>
    </section>
  );
}

function pressWords(shown: View, glue: Material, place: string): string {
  const tables = tablesOf(shown.offsets, glue, place);
  if (!tables.some((one) => one.starts.length > 0)) return say('time.never');
  const cold = soonest(tables).find((one) => one.cause === 'cold');
  if (!cold) return say('tonight.press_any');
  if (!cold.latest_good || Date.parse(cold.latest_good) <= minute.value)
    return say('tonight.press_not');
  return say('tonight.press_by', { at: when(cold.latest_good, minute.value, 'down') });
}

function Spoils({ groups }: { groups: readonly Group[] }) {
  const hit = groups.filter((group) => group.foretold.length > 0);
  return (
    <section>
      <h2 class="part-head">{say('tonight.spoils')}</h2>
      {hit.length === 0 && <p>{say('tonight.nothing')}</p>}
      <div class="rows">
        {hit.map((group) => (
          <LinkRow
            key={group.id}
            href={`/wait/${group.id}`}
            title={group.name}
            note={foretoldWords(group)}
          />
        ))}
      </div>
    </section>
  );
}

function foretoldWords(group: Group): string {
  return group.foretold
    .map((one) => word(`wait.foretold.${one.cause}`, { at: when(one.at, minute.value) }))
    .join(' ');
}

function Closing({ groups }: { groups: readonly Group[] }) {
  const closing = groups.flatMap((group) =>
    group.gates.filter(closesTonight).map((gate) => ({ group, gate })),
  );
  return (
    <section>
      <h2 class="part-head">{say('tonight.closing')}</h2>
      {closing.length === 0 && <p>{say('tonight.nothing_closes')}</p>}
      <div class="rows">
        {closing.map(({ group, gate }) => (
          <LinkRow
            key={`${group.id}${gate.kind}`}
            href={`/wait/${group.id}`}
            title={group.name}
            note={`${word(`gate.${gate.kind}.name`)} ${when(gate.acts.first!, minute.value, 'down')}`}
          />
        ))}
      </div>
    </section>
  );
}

function closesTonight(gate: Gate): boolean {
  if (gate.opens || !gate.acts.first) return false;
  const left_ms = Date.parse(gate.acts.first) - minute.value;
  return left_ms > 0 && left_ms < NIGHT_MS;
}
