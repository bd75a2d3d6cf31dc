/** One line of the Now list: which, until when, what is still forbidden, and the one tap. */
import { oneTaps } from '../models/acts';
import { minute } from '../models/clock';
import { stripOf } from '../models/strip';
import { shortTags, tagsBeside } from '../models/tags';
import { tell } from '../models/tell';
import type { Group, Line, Piece, Place } from '../models/view';
import { isKey, say, word } from '../words/say';
import { when } from '../words/times';
import { NightStrip } from './night-strip';
import { Sign, type SignKind } from './sign';
import { Tape } from './tape';

export type Tone = 'may' | 'heed' | 'stop' | 'wait';
const SIGN: Record<Tone, SignKind> = { may: 'may', heed: 'heed', stop: 'stop', wait: 'wait' };

/** All it needs comes in, and nothing of it changes while others do: a long list stays quick. */
interface Props {
  line: Line;
  tone: Tone;
  group: Group | undefined;
  place: Place | undefined;
  floor_c: number | null;
  pieces: readonly Piece[];
  may_tell: boolean;
}

export function LineRow({ line, tone, group, place, floor_c, pieces, may_tell }: Props) {
  const name = line.name || shortTags(line.pieces);
  const tags = tagsBeside(name, line.pieces);
  const taps = may_tell && tone !== 'wait' ? oneTaps(line, group, pieces) : [];
  const beside = taps.length === 1;
  return (
    <li class={beside ? 'line line-one' : 'line'}>
      <a class="line-what" href={addressOf(line, pieces)}>
        <span class="line-text">
          <b class="line-name">{name}</b>
          {tags && <span class="line-tags">{tags}</span>}
          <When line={line} tone={tone} />
          {line.forbidden && <Forbidden line={line} />}
        </span>
        {group && <LineStrip group={group} act={line.act} place={place} floor_c={floor_c} />}
      </a>
      {taps.length > 0 && (
        <div class={beside ? 'line-tap' : 'pair'}>
          {taps.map((tap) => (
            <Tape
              key={tap.word}
              verb={say(tap.word)}
              about={name}
              onTap={() => tell(tap.verb, tap.said)}
            />
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
function addressOf(line: Line, pieces: readonly Piece[]): string {
  if (line.act === 'spin' && line.pieces.length > 1) return '/can';
  const piece = pieces.find((one) => one.tag === line.pieces[0]);
  if (line.act === 'spin' && piece) return `/piece/${piece.id}`;
  return line.group ? `/wait/${line.group}` : `/air/${line.place_id}`;
}

/** What no time says: where the rags are, why it is suspect. */
function noteOf(line: Line): string {
  if (line.act === 'rags') return say('now.where_rags');
  if (line.reason.startsWith('suspect_'))
    return word(`suspect.${line.reason.slice('suspect_'.length)}`);
  return isKey(`reason.${line.reason}`) ? word(`reason.${line.reason}`) : '';
}

function atWords(line: Line, tone: Tone): string {
  if (!line.at) return tone === 'wait' && !line.reason ? say('time.never') : '';
  const past = Date.parse(line.at) <= minute.value;
  return say(past ? 'time.since' : 'time.from', { at: when(line.at, minute.value, 'up') });
}

function untilWords(line: Line, tone: Tone): string {
  if (!line.until || line.until === line.at) return '';
  return say(tone === 'heed' ? 'time.by' : 'time.until', {
    at: when(line.until, minute.value, 'down'),
  });
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

interface StripProps {
  group: Group;
  act: string;
  place: Place | undefined;
  floor_c: number | null;
}

function LineStrip({ group, act, place, floor_c }: StripProps) {
  const gate = group.gates.find((one) => one.kind === act);
  if (!gate) return null;
  const now = minute.value;
  const strip = stripOf({ ...group, gates: [gate] }, place, floor_c, now);
  const label = say('wait.strip', { name: group.name, marks: word(`gate.${act}.name`) });
  return <NightStrip strip={strip} now_ms={now} small label={label} />;
}
