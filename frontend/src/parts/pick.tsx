/** The choices every start begins with: which bottle, which place, which pieces. */
import type { Signal } from '@preact/signals';
import { piecesInOrder, view } from '../models/shop';
import { families, shortTags } from '../models/tags';
import type { Piece } from '../models/view';
import { temp } from '../units/temperature';
import { count, say } from '../words/say';
import { Choose, toggled } from './choose';
import { Fold } from './fold';
import { LinkRow } from './link-row';

export function PickMaterial({
  chosen,
  roles,
  legend,
}: {
  chosen: Signal<string>;
  roles: readonly string[];
  legend: string;
}) {
  const materials = (view.value?.materials ?? []).filter((one) => roles.includes(one.role));
  return (
    <>
      {materials.length > 0 && (
        <Choose
          legend={legend}
          chosen={new Set([chosen.value])}
          onChoose={(value) => (chosen.value = value)}
          choices={materials.map((one) => ({
            value: one.id,
            label: one.name,
            note: one.label.read ? one.label.container || undefined : say('now.unread'),
          }))}
        />
      )}
      <LinkRow href={`/bottle/new?role=${roles[0]}`} title={say('start.new_bottle')} />
    </>
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
