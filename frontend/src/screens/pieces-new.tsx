/** New pieces get their numbers: what they begin with, how many, which parts get a coat. */
import { useSignal, type Signal } from '@preact/signals';
import { view } from '../models/shop';
import { inOrder, newTags, shortTags } from '../models/tags';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { Choose, toggled } from '../parts/choose';
import { Field } from '../parts/field';
import { count, say } from '../words/say';

const MOST = 200;

export default function PiecesNew() {
  const stem = useSignal('A-');
  const many = useSignal('4');
  const what = useSignal('');
  const zones = useSignal(say('pieces.zone.all'));
  const bare = useSignal('');
  const parts_of = useSignal<ReadonlySet<string>>(new Set());
  const wanted = Math.min(MOST, Math.max(0, Math.floor(Number(many.value)) || 0));
  const taken = new Set((view.value?.pieces ?? []).map((one) => one.tag));
  const tags = newTags(stem.value.trim(), wanted, taken);
  const make = async (event: Event) => {
    event.preventDefault();
    if (!tags.length) return;
    const pieces = tags.map((tag) => ({
      id: newId(),
      tag: tag.slice(0, 24),
      what: what.value.trim(),
      zones: [...parts(zones.value, false), ...parts(bare.value, true)],
      ...(parts_of.value.size > 0 && { made_from: [...parts_of.value] }),
    }));
    if (await tell('pieces_made', { pieces })) history.back();
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('pieces.new')}</h1>
      <form class="stack" onSubmit={make}>
        <Field label={say('pieces.stem')} value={stem} most={16} />
        <Field label={say('pieces.count')} value={many} mode="numeric" most={3} />
        <Field label={say('pieces.what')} value={what} hint={say('pieces.what_hint')} most={80} />
        <Field label={say('pieces.zones')} value={zones} hint={say('pieces.zones_hint')} most={200} />
        <Field label={say('pieces.bare')} value={bare} hint={say('pieces.bare_hint')} most={200} />
        <MadeFrom chosen={parts_of} />
        <p>{say('pieces.will_be', { tags: shortTags(tags) })}</p>
        <button type="submit" class="tape tape-wide" disabled={!tags.length}>
          <span class="tape-verb">{say('tap.made')}</span>
        </button>
      </form>
    </main>
  );
}

/** Sawn from these, or glued together of them: their joints go along. */
function MadeFrom({ chosen }: { chosen: Signal<ReadonlySet<string>> }) {
  const all = inOrder(view.value?.pieces ?? []);
  if (!all.length) return null;
  return (
    <details class="stack">
      <summary class="quiet">
        {say('pieces.made_from')}
        <span class="soft">{count('start.many', chosen.value.size)}</span>
      </summary>
      <Choose
        many
        small
        legend={say('pieces.made_from_note')}
        chosen={chosen.value}
        onChoose={(value) => (chosen.value = toggled(chosen.value, value))}
        choices={all.map((one) => ({ value: one.id, label: one.tag, note: one.what || undefined }))}
      />
    </details>
  );
}

function parts(text: string, keep_bare: boolean) {
  const names = [
    ...new Set(
      text
        .split(',')
        .map((name) => name.trim().slice(0, 40))
        .filter(Boolean),
    ),
  ];
  return names.map((name) => ({ id: newId(), name, keep_bare }));
}
