/** The choices every start begins with: which bottle, which place, which pieces. */
import type { Signal } from '@preact/signals';
import { started, type Container } from '../models/containers';
import type { Picked } from '../models/picked';
import { piecesInOrder, view } from '../models/shop';
import { families, shortTags } from '../models/tags';
import type { Material, Piece } from '../models/view';
import { temp } from '../units/temperature';
import { count, say } from '../words/say';
import { span } from '../words/times';
import { Choose, toggled, type Choice } from './choose';
import { age, containerFacts, Odd, useShelf } from './container-told';
import { Fold } from './fold';
import { LinkRow } from './link-row';

const HOUR_MS = 3_600_000;

export function PickMaterial({
  chosen,
  roles,
  legend,
}: {
  chosen: Picked;
  roles: readonly string[];
  legend: string;
}) {
  const shelf = useShelf() ?? [];
  const materials = (view.value?.materials ?? []).filter((one) => roles.includes(one.role));
  return (
    <>
      {materials.length > 0 && (
        <Choose
          legend={legend}
          chosen={new Set([chosen.material_id.value, inHand(chosen, shelf)?.id ?? ''])}
          onChoose={(value) => choose(chosen, shelf, value)}
          choices={materials.flatMap((one) => choicesOf(one, started(shelf, one.id)))}
        />
      )}
      <InHand chosen={chosen} shelf={shelf} />
      <LinkRow href={`/bottle/new?role=${roles[0]}`} title={say('start.new_bottle')} />
    </>
  );
}

/** Each bottle or can that is open by itself; a material of which none is known, by its name. */
function choicesOf(material: Material, open: readonly Container[]): Choice[] {
  const { label } = material;
  const unread = label.read ? [] : [say('now.unread')];
  const named = (value: string, notes: readonly string[]) => ({
    value,
    label: material.name,
    note: [...notes, ...unread].join(', ') || undefined,
  });
  if (!open.length) return [named(material.id, label.read && label.container ? [label.container] : [])];
  return open.map((one) =>
    named(one.id, [say('start.open_for', { name: one.name, age: age(one.open_days ?? 0) })]),
  );
}

function choose(chosen: Picked, shelf: readonly Container[], value: string): void {
  const container = shelf.find((one) => one.id === value);
  chosen.material_id.value = container?.material ?? value;
  chosen.container_id.value = container?.id ?? '';
}

/** The one that was chosen; of a material chosen elsewhere, the one it is taken from. */
function inHand(chosen: Picked, shelf: readonly Container[]): Container | undefined {
  const open = started(shelf, chosen.material_id.value);
  return open.find((one) => one.id === chosen.container_id.value) ?? open[0];
}

/** What is known of it, before anything is poured. */
function InHand({ chosen, shelf }: { chosen: Picked; shelf: readonly Container[] }) {
  const one = inHand(chosen, shelf);
  const gates = chosen.material.value?.label.gates ?? [];
  const pot = gates.find((gate) => gate.kind === 'pot_life');
  if (!one && !pot) return null;
  return (
    <div>
      {one && (
        <>
          <p>
            <b>{one.name}</b>
          </p>
          <Odd odd={one.odd} />
          {containerFacts(one).map((line) => (
            <p key={line}>{line}</p>
          ))}
        </>
      )}
      {pot && (
        <p>
          {say(pot.read ? 'start.pot_life' : 'start.pot_life_typical', {
            span: span(pot.hours * HOUR_MS),
          })}
        </p>
      )}
    </div>
  );
}

export function PickPlace({ chosen }: { chosen: Signal<string> }) {
  const places = view.value?.places ?? [];
  return (
    <Choose
      legend={say('start.place')}
      chosen={new Set([chosen.value])}
      onChoose={(value) => (chosen.value = value)}
      choices={places.map((one) => ({
        value: one.id,
        label: one.name,
        note: one.reading ? temp(one.reading.temp_c) : say('air.no_reading'),
      }))}
    />
  );
}

/** So many fit on a screen; of more, each family is folded away behind its name. */
const FEW = 12;

/** Pieces by what their numbers begin with; a whole family in one touch. */
export function PickPieces({ chosen }: { chosen: Signal<ReadonlySet<string>> }) {
  const pieces = piecesInOrder.value;
  const kinds = [...families(pieces)];
  return (
    <section class="stack">
      <h2 class="choose-head">{say('start.pieces')}</h2>
      {kinds.map(([stem, members]) => (
        <Family
          key={stem}
          stem={stem}
          members={members}
          chosen={chosen}
          folded={pieces.length > FEW}
        />
      ))}
      <LinkRow
        href="/pieces/new"
        title={say('start.new_pieces')}
        note={say('start.new_pieces_note')}
      />
      {chosen.value.size > 0 && (
        <Chosen pieces={pieces.filter((one) => chosen.value.has(one.id))} />
      )}
    </section>
  );
}

interface FamilyProps {
  stem: string;
  members: readonly Piece[];
  chosen: Signal<ReadonlySet<string>>;
  folded: boolean;
}

function Family({ stem, members, chosen, folded }: FamilyProps) {
  const ids = members.map((one) => one.id);
  const all = ids.every((id) => chosen.value.has(id));
  const tiles = () => (
    <Choose
      many
      small
      legend={stem}
      chosen={chosen.value}
      onChoose={(value) => (chosen.value = toggled(chosen.value, value))}
      choices={members.map((one) => ({
        value: one.id,
        label: one.tag,
        note: one.what || undefined,
      }))}
    />
  );
  const every = (
    <button
      type="button"
      class="quiet"
      onClick={() => (chosen.value = withAll(chosen.value, ids, !all))}
    >
      {say(all ? 'start.none_of' : 'start.all', { stem })}
    </button>
  );
  if (!folded) {
    return (
      <div class="stack">
        {tiles()}
        {members.length > 1 && every}
      </div>
    );
  }
  return (
    <div class="family">
      <Fold
        title={
          <>
            {shortTags(members.map((one) => one.tag))}
            <span class="soft">
              {count('start.many', ids.filter((id) => chosen.value.has(id)).length)}
            </span>
          </>
        }
      >
        {tiles}
      </Fold>
      {every}
    </div>
  );
}

function withAll(chosen: ReadonlySet<string>, ids: readonly string[], on: boolean): Set<string> {
  const next = new Set(chosen);
  for (const id of ids) {
    if (on) next.add(id);
    else next.delete(id);
  }
  return next;
}

function Chosen({ pieces }: { pieces: readonly Piece[] }) {
  return (
    <p>
      <b>{shortTags(pieces.map((one) => one.tag))}</b>
      <span class="soft"> {count('start.many', pieces.length)}</span>
    </p>
  );
}
