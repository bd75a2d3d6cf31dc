/** How many are left, of which kind, when do more come free, what can come off now? */
import { signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { view } from '../models/shop';
import { tell } from '../models/tell';
import type { Instant } from '../models/view';
import { Figure } from '../parts/figure';
import { Choose } from '../parts/choose';
import { NameField } from '../parts/name-field';
import { PickPlace } from '../parts/pick';
import { Sign } from '../parts/sign';
import { Tape } from '../parts/tape';
import { newId } from '../sync/outbox';
import { pullKept } from '../sync/pull';
import { say, word } from '../words/say';
import { when } from '../words/times';

interface Holder {
  group: string;
  kind: string;
  name: string;
  count: number;
  opens_at: Instant | null;
  could_come_off: boolean;
}

interface Line {
  thing: string;
  name: string;
  kind: string;
  count: number;
  free: number;
  over: number;
  could_come_off: number;
  holders: Holder[];
}

const KINDS = ['clamp', 'band', 'column', 'form', 'hook', 'point', 'box'] as const;
const lines = signal<Line[] | undefined>(undefined);

export default function Clamps() {
  const silent = useSignal(false);
  const told = view.value?.now;
  useEffect(() => {
    pullKept<{ lines: Line[] }>('ledger', '/api/ledger')
      .then((found) => {
        lines.value = found.lines;
        silent.value = false;
      })
      .catch(() => (silent.value = true));
  }, [told]);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.clamps')}</h1>
      {silent.value && <p role="alert">{say('clamps.needs_signal')}</p>}
      {lines.value?.length === 0 && <p>{say('clamps.none')}</p>}
      {(lines.value ?? []).map((line) => (
        <Thing key={line.thing} line={line} />
      ))}
      <Add />
    </main>
  );
}

function Thing({ line }: { line: Line }) {
  const counts = { free: line.free, count: line.count };
  return (
    <section class="stack">
      <h2 class="part-head">{line.name}</h2>
      <p class="line-name">
        {line.kind === 'box' ? say('clamps.litres', counts) : say('clamps.free', counts)}
      </p>
      {line.over > 0 && (
        <p>
          <Sign kind="heed" /> {say('clamps.over', { over: line.over })}
        </p>
      )}
      {line.could_come_off > 0 && <p>{say('clamps.could', { count: line.could_come_off })}</p>}
      {line.holders.map((holder) => (
        <Held key={holder.group} holder={holder} />
      ))}
    </section>
  );
}

/** Off is said by a person: until then it is held, whatever its gate says. */
function Held({ holder }: { holder: Holder }) {
  const glue_up = holder.kind === 'glue_up';
  const off = () =>
    glue_up
      ? tell('clamps_off', { glue_up: holder.group })
      : tell('things_freed', { about: holder.group });
  return (
    <div class="also">
      <p>
        {say('clamps.held', { count: holder.count, name: holder.name })}{' '}
        <span class="soft">
          {holder.opens_at
            ? say('clamps.from', { at: when(holder.opens_at, minute.value, 'up') })
            : say('clamps.unsaid')}
        </span>
      </p>
      {holder.could_come_off && (
        <Tape
          verb={say(glue_up ? 'clamps.off' : 'clamps.down')}
          about={holder.name}
          onTap={off}
        />
      )}
    </div>
  );
}

const name = signal('');
const kind = signal('clamp');
const place = signal('');
const figures = signal<Record<string, number | undefined>>({});

function Add() {
  const hangs = ['hook', 'point', 'box'].includes(kind.value);
  const wanted =
    kind.value === 'column'
      ? (['count', 'force_kn', 'takes'] as const)
      : kind.value === 'clamp'
        ? (['count', 'force_kn', 'reach_mm'] as const)
        : (['count'] as const);
  return (
    <details class="stack">
      <summary class="quiet">{say('clamps.add')}</summary>
      <NameField label="clamps.name" value={name} />
      <Choose
        legend={say('clamps.kind')}
        chosen={new Set([kind.value])}
        onChoose={(value) => (kind.value = value)}
        choices={KINDS.map((one) => ({ value: one, label: word(`clamps.kind.${one}`) }))}
      />
      {wanted.map((one) => (
        <Figure
          key={one}
          label={`clamps.${one}`}
          value={figures.value[one]}
          onValue={(value) => (figures.value = { ...figures.value, [one]: value })}
        />
      ))}
      {hangs && <PickPlace chosen={place} />}
      <Tape
        wide
        verb={say('clamps.keep')}
        disabled={!name.value.trim() || !(figures.value.count! > 0)}
        onTap={() => keep(wanted, hangs)}
      />
    </details>
  );
}

async function keep(wanted: readonly string[], hangs: boolean): Promise<void> {
  const told = wanted.filter((one) => figures.value[one]! > 0);
  const said = {
    thing: newId(),
    name: name.value.trim(),
    kind: kind.value,
    ...Object.fromEntries(told.map((one) => [one, figures.value[one]])),
    ...(hangs && place.value && { place: place.value }),
  };
  if (!(await tell('things_owned', said))) return;
  name.value = '';
  figures.value = {};
}
