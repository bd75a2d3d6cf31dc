/** One wait: its night strip, what opens and closes and when, and why. */
import { useRoute } from 'preact-iso';
import { minute } from '../models/clock';
import { clampsOff, oneTaps } from '../models/acts';
import { gateOf, ownLines } from '../models/own-lines';
import {
  group as groupOf,
  list,
  materialOfLabel,
  mayRecord,
  place as placeOf,
  view,
} from '../models/shop';
import { actingFigure, stripOf, type Strip } from '../models/strip';
import { shortTags, tagsBeside } from '../models/tags';
import { tell } from '../models/tell';
import type { Gate, Group, Line } from '../models/view';
import { Ago } from '../parts/ago';
import { Cautions } from '../parts/caution';
import { Below } from '../parts/further';
import { GroupPictures } from '../parts/group-pictures';
import { Ladder } from '../parts/ladder';
import { Missing } from '../parts/missing';
import { Move } from '../parts/move';
import { NightStrip } from '../parts/night-strip';
import { OnePieceOut } from '../parts/one-piece';
import { Sign } from '../parts/sign';
import { Tape } from '../parts/tape';
import { Tried } from '../parts/tried';
import { Why } from '../parts/why';
import { temp } from '../units/temperature';
import { say, word, type Key } from '../words/say';
import { hours, when } from '../words/times';

export function Wait() {
  const { params } = useRoute();
  const group = groupOf(params.id ?? '');
  if (!group) return <Missing />;
  const material = materialOfLabel(group.material.label);
  const strip = stripOf(
    group,
    placeOf(group.place.id),
    material?.label.min_c ?? null,
    minute.value,
  );
  const tags = tagsBeside(
    group.name,
    group.pieces.map((piece) => piece.tag),
  );
  return (
    <main class="room wait" id="main">
      <header class="wait-head">
        <h1 class="verb">{group.name}</h1>
        {tags && <p class="line-tags">{tags}</p>}
        <p>
          {say('wait.in', { material: group.material.name, place: group.place.name })},{' '}
          {stateWord(group)}
        </p>
        <p class="soft">
          {say('wait.began', { at: when(group.began_at, minute.value) })}
          {group.provisional && <i class="provisional"> {say('now.provisional')}</i>}
        </p>
      </header>
      <Doubts group={group} />
      <NightStrip strip={strip} now_ms={minute.value} label={stripWords(group, strip)} />
      {mayRecord.value && material && (
        <Cautions keys={material.label.cautions} container={material.label.id} />
      )}
      {mayRecord.value && <Acts group={group} />}
      <Below>{() => <Rest group={group} />}</Below>
    </main>
  );
}

function Rest({ group }: { group: Group }) {
  return (
    <>
      <Ladder group={group} />
      {!group.provisional && <Why group={group.id} />}
      {!group.provisional && <GroupPictures group={group} />}
      {mayRecord.value && <Tried group={group} />}
      {mayRecord.value && <Move group={group} />}
      {mayRecord.value && <OnePieceOut group={group} />}
    </>
  );
}

function stateWord(group: Group): string {
  return say(`state.${group.state}` as Key);
}

/** Every one tap that this group has now, as on the Now list. */
function Acts({ group }: { group: Group }) {
  const lists = group.provisional ? ownLines(group, minute.value) : list.value;
  const lines: Line[] = [...lists.wrong, ...lists.soon, ...lists.may].filter(
    (line) => line.group === group.id,
  );
  const found = lines.flatMap((line) => oneTaps(line, group, view.value?.pieces ?? []));
  const taps = [...new Map(found.map((tap) => [tap.word, tap])).values()];
  if (group.state === 'coating')
    taps.push({ word: 'tap.coat_paused', verb: 'coat_paused', said: { coat: group.id } });
  if (!taps.length) return <TooSoon group={group} />;
  return (
    <section class="stack">
      {taps.map((tap) => (
        <Tape
          wide
          key={tap.word}
          verb={say(tap.wide ?? tap.word)}
          about={group.name}
          onTap={() => tell(tap.verb, tap.said)}
        />
      ))}
      <Ago />
    </section>
  );
}

/** Not offered yet, but if it has happened all the same it is written down. */
function TooSoon({ group }: { group: Group }) {
  if (group.kind !== 'glue_up' || group.state !== 'pressed') return null;
  return (
    <details class="too-soon">
      <summary class="quiet">{say('wait.too_soon')}</summary>
      <div class="stack">
        <p>{say('wait.too_soon_note')}</p>
        {clampsOff(group).map((tap) => (
          <Tape
            wide
            key={tap.word}
            verb={say('verb.clamps_off')}
            about={group.name}
            onTap={() => tell(tap.verb, tap.said)}
          />
        ))}
        <Ago />
      </div>
    </details>
  );
}

function Doubts({ group }: { group: Group }) {
  const now = minute.value;
  return (
    <>
      {group.suspect.map((one) => (
        <section class="notice notice-stop" key={`${one.cause}${one.at}`}>
          <Sign kind="stop" />
          <div>
            <h2>{say('wait.suspect', { cause: word(`suspect.${one.cause}`) })}</h2>
            {one.temp_c !== null && one.banked_h !== null && one.need_h !== null && (
              <p>
                {say('wait.suspect_at', {
                  temp: temp(one.temp_c),
                  at: when(one.at, now),
                  banked: hours(one.banked_h),
                  need: hours(one.need_h),
                })}
              </p>
            )}
            <p>
              {say('wait.suspect_note', { tags: shortTags(one.pieces) })}
            </p>
          </div>
        </section>
      ))}
      {group.unsure.map((key) => (
        <p class="line-when" key={key}>
          <Sign kind="unsure" />
          <span>{word(`unsure.${key}`)}</span>
        </p>
      ))}
      {group.foretold.map((one) => (
        <section class="notice notice-heed" key={one.cause}>
          <Sign kind="heed" />
          <div>
            <h2>{word(`wait.foretold.${one.cause}`, { at: when(one.at, now) })}</h2>
            {one.latest_good && (
              <p>{say('wait.foretold_act', { at: when(one.latest_good, now) })}</p>
            )}
          </div>
        </section>
      ))}
    </>
  );
}

/** What the picture shows, for those who do not see it. */
function stripWords(group: Group, strip: Strip): string {
  const marks = strip.marks.flatMap((mark) => {
    const gate = gateOf(group, mark.kind);
    return gate ? [gateWords(gate)] : [];
  });
  return say('wait.strip', { name: group.name, marks: marks.join('; ') });
}

function gateWords(gate: Gate): string {
  const now = minute.value;
  const acts = actingFigure(gate);
  const fields = {
    gate: word(`gate.${gate.kind}.name`),
    bare: gate.bare ? when(gate.bare, now) : '?',
    acts: acts ? when(acts, now, gate.opens ? 'up' : 'down') : say('time.never'),
  };
  if (!gate.opens) return say('wait.strip.closes', fields);
  return say(gate.hurts ? 'wait.strip.sure' : 'wait.strip.opens', fields);
}
