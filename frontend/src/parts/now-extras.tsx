/** What the Now list offers besides: settle a conflict, tell the night's lowest, the same again. */
import { computed } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { sameAgain } from '../models/again';
import { lowestAsked } from '../models/air';
import { tellAgain } from '../models/carried';
import { minute } from '../models/clock';
import { groupById, mayRecord, pieceById, view } from '../models/shop';
import type { Conflict } from '../models/view';
import { say, word } from '../words/say';
import { Cautions } from './caution';
import { LinkRow } from './link-row';
import { Tape } from './tape';

export function Conflicts() {
  const conflicts = view.value?.conflicts ?? [];
  if (!conflicts.length) return null;
  return (
    <section class="part part-heed">
      <h2 class="verb">{say('act.settle')}</h2>
      {conflicts.map((one) => (
        <LinkRow
          key={one.id}
          href={`/settle/${one.id}`}
          title={settleAbout(one) || settleWord(one.kind)}
          note={settleAbout(one) && settleWord(one.kind)}
        />
      ))}
    </section>
  );
}

/** What it is about, by the name it has here. */
export function settleAbout({ about }: Conflict): string {
  return groupById.value.get(about)?.name ?? pieceById.value.get(about)?.tag ?? '';
}

export function settleWord(kind: string): string {
  return word(`conflict.${kind}`);
}

/** Asked for in the morning, of places where something stands and nobody has told yet. */
export function LowestAsked() {
  const shown = view.value;
  if (!shown || !mayRecord.value) return null;
  return (
    <>
      {lowestAsked(shown, minute.value).map((place) => (
        <LinkRow
          key={place.id}
          href={`/air/${place.id}`}
          title={say('now.lowest')}
          note={say('now.lowest_note', { place: place.name })}
        />
      ))}
    </>
  );
}

/** Worked out once for what is shown, not at each look. */
const again = computed(() => view.value && sameAgain(view.value));

export function Again() {
  const { route } = useLocation();
  const next = mayRecord.value ? again.value : undefined;
  if (!next) return null;
  const tap = async () => {
    const id = await tellAgain(next);
    if (id) route(`/glue/${id}`);
  };
  return (
    <section class="part part-again">
      <h2 class="part-head">{say('now.again')}</h2>
      <p class="line-name">{next.spread.name}</p>
      <p class="soft">
        {say('now.again_note', { material: next.material.name, place: next.last.place.name })}
      </p>
      <Cautions keys={next.material.label.cautions} container={next.material.label.id} />
      <Tape wide verb={say('tap.spread_began')} about={next.spread.name} onTap={tap} />
    </section>
  );
}
