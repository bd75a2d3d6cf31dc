/** What may I touch, what must I do at once, what is about to go wrong, what must I leave alone? */
import { byActAndPlace } from '../models/lines';
import { groupById, list, materialByLabel, mayRecord, placeById, view } from '../models/shop';
import type { Line, Piece } from '../models/view';
import { useState } from 'preact/hooks';
import { AskPush } from '../parts/ask-push';
import { Ago } from '../parts/ago';
import { AT_FIRST, AT_ONCE, Block, Further, inBlocks, MANY, usePainted } from '../parts/further';
import { LineRow, type Tone } from '../parts/line-row';
import { Again, LowestAsked, Conflicts } from '../parts/now-extras';
import { TakeBack } from '../parts/told-lately';
import { StandingAlerts } from '../parts/standing-alerts';
import { actWord, say, type Key } from '../words/say';

const PARTS: [keyof typeof list.value, Key, Tone][] = [
  ['soon', 'now.soon', 'heed'],
  ['wrong', 'now.wrong', 'heed'],
  ['may', 'now.may', 'may'],
  ['not_yet', 'now.not_yet', 'wait'],
];

export function Now() {
  const lists = list.value;
  const empty = PARTS.every(([part]) => lists[part].length === 0);
  const painted = usePainted();
  let room = AT_FIRST;
  const firstOf = (lines: readonly Line[]) => {
    const first = Math.min(lines.length, room);
    room -= first;
    return first;
  };
  return (
    <main class="room" id="main">
      <h1 class="unseen">{say('room.now')}</h1>
      <Conflicts />
      {PARTS.map(([part, title, tone]) => (
        <Part
          key={part}
          title={say(title)}
          lines={lists[part]}
          tone={tone}
          most={painted ? undefined : firstOf(lists[part])}
        />
      ))}
      {empty && view.value && <Empty />}
      <StandingAlerts />
      <LowestAsked />
      <Again />
      <TakeBack />
      {!empty && <Ago />}
      <AskPush />
    </main>
  );
}

interface PartProps {
  title: string;
  lines: readonly Line[];
  tone: Tone;
  /** How many rows, until the first of the screen is painted. */
  most: number | undefined;
}

function Part({ title, lines, tone, most }: PartProps) {
  const [limit, setLimit] = useState(AT_FIRST);
  if (!lines.length) return null;
  return (
    <section class={`part part-${tone}`}>
      <h2 class="part-head">{title}</h2>
      {byActAndPlace(lines.slice(0, most ?? limit)).map(([act, places]) => (
        <div class="act" key={act}>
          <h3 class="verb">{actWord(act)}</h3>
          {places.map(([place, there]) => (
            <div key={place}>
              <h4 class="where">{place}</h4>
              {inBlocks(there, AT_ONCE).map((some, i) => (
                <Block key={i} long={lines.length > MANY}>
                  {() => some.map((line) => <Row line={line} tone={tone} key={keyOf(line)} />)}
                </Block>
              ))}
            </div>
          ))}
        </div>
      ))}
      {most === undefined && (
        <Further left={lines.length - limit} onMore={() => setLimit(limit + AT_ONCE)} />
      )}
    </section>
  );
}

function keyOf(line: Line): string {
  return `${line.group} ${line.pieces[0]} ${line.reason}`;
}

const NO_PIECES: readonly Piece[] = [];

function Row({ line, tone }: { line: Line; tone: Tone }) {
  const group = line.group ? groupById.value.get(line.group) : undefined;
  return (
    <LineRow
      line={line}
      tone={tone}
      group={group}
      place={group && placeById.value.get(group.place.id)}
      floor_c={(group && materialByLabel.value.get(group.material.label)?.label.min_c) ?? null}
      pieces={view.value?.pieces ?? NO_PIECES}
      may_tell={mayRecord.value}
    />
  );
}

function Empty() {
  return (
    <section class="empty">
      <p class="verb">{say('now.empty')}</p>
      <p>{say('now.empty_then')}</p>
    </section>
  );
}
