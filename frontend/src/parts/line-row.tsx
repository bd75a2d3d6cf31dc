/** One line of the Now list: which, until when, what is still forbidden, and the one tap. */
import { oneTaps } from '../models/acts';
import { minute } from '../models/clock';
import { group as groupOf, mayRecord, materialOfLabel, place as placeOf, view } from '../models/shop';
import { stripOf } from '../models/strip';
import { shortTags, tagsBeside } from '../models/tags';
import { tell } from '../models/tell';
import type { Group, Line } from '../models/view';
import { isKey, say, word } from '../words/say';
import { when } from '../words/times';
import { NightStrip } from './night-strip';
import { Sign, type SignKind } from './sign';
import { Tape } from './tape';

export type Tone = 'may' | 'heed' | 'stop' | 'wait';
const SIGN: Record<Tone, SignKind> = { may: 'may', heed: 'heed', stop: 'stop', wait: 'wait' };

export function LineRow({ line, tone }: { line: Line; tone: Tone }) {
  const group = line.group ? groupOf(line.group) : undefined;
  const name = line.name || shortTags(line.pieces);
  const tags = tagsBeside(name, line.pieces);
  const taps = mayRecord.value && tone !== 'wait' ? oneTaps(line, group, view.value?.pieces ?? []) : [];
  const beside = taps.length === 1;
  return (
    <li class={beside ? 'line line-one' : 'line'}>
      <a class="line-what" href={addressOf(line)}>
        <span class="line-text">
          <b class="line-name">{name}</b>
          {tags && <span class="line-tags">{tags}</span>}
          <When line={line} tone={tone} />
          {line.forbidden && <Forbidden line={line} />}
        </span>
        {group && <LineStrip group={group} act={line.act} />}
      </a>
      {taps.length > 0 && (
        <div class={beside ? 'line-tap' : 'pair'}>
          {taps.map((tap) => (
            <Tape key={tap.word} verb={say(tap.word)} about={name} onTap={() => tell(tap.verb, tap.said)} />
          ))}
        </div>
      )}
    </li>
  );
}

function When({ line, tone }: { line: Line; tone: Tone }) {
  const text = [atWords(line, tone), untilWords(line, tone)].filter(Boolean).join(', ');
  const note = noteOf(line);
  if (!text && !note) return null;
  return (
    <span class="line-when">
      <Sign kind={SIGN[tone]} />
      <span>
        <time>{text}</time> {note}
        {line.provisional && <i class="provisional"> {say('now.provisional')}</i>}
      </span>
    </span>
  );
}

/** Where a line leads: the lathe is asked by the piece, the air by its place. */
function addressOf(line: Line): string {
  if (line.act === 'spin' && line.pieces.length > 1) return '/can';
  const piece = view.value?.pieces.find((one) => one.tag === line.pieces[0]);
  if (line.act === 'spin' && piece) return `/piece/${piece.id}`;
  return line.group ? `/wait/${line.group}` : `/air/${line.place_id}`;
}

/** What no time says: where the rags are, why it is suspect. */
function noteOf(line: Line): string {
  if (line.act === 'rags') return say('now.where_rags');
  if (line.reason.startsWith('suspect_')) return word(`suspect.${line.reason.slice('suspect_'.length)}`);
  return isKey(`reason.${line.reason}`) ? word(`reason.${line.reason}`) : '';
}

function atWords(line: Line, tone: Tone): string {
  if (!line.at) return tone === 'wait' && !line.reason ? say('time.never') : '';
  const past = Date.parse(line.at) <= minute.value;
  return say(past ? 'time.since' : 'time.from', { at: when(line.at, minute.value, 'up') });
}

function untilWords(line: Line, tone: Tone): string {
  if (!line.until) return '';
  return say(tone === 'heed' ? 'time.by' : 'time.until', { at: when(line.until, minute.value, 'down') });
}

function Forbidden({ line }: { line: Line }) {
  const bar = word(`gate.${line.forbidden!.kind}.bars`);
  const until = line.forbidden!.until;
  return (
    <span class="line-forbidden">
      <Sign kind="stop" />
      <span>
        {until
          ? say('now.forbidden', { bar, until: when(until, minute.value, 'up') })
          : say('now.forbidden_open', { bar })}
      </span>
    </span>
  );
}

function LineStrip({ group, act }: { group: Group; act: string }) {
  const gate = group.gates.find((one) => one.kind === act);
  if (!gate || !view.value) return null;
  const floor_c = materialOfLabel(group.material.label)?.label.min_c ?? null;
  const strip = stripOf({ ...group, gates: [gate] }, placeOf(group.place.id), floor_c, minute.value);
  return <NightStrip strip={strip} now_ms={minute.value} small label={say('wait.strip', { name: group.name, marks: word(`gate.${act}.name`) })} />;
}
