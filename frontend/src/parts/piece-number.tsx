/** Whose number it is: where it stands now, and what to do where two pieces were taken for each other. */
import { useSignal } from '@preact/signals';
import { minute, shopTime } from '../models/clock';
import { WHERE } from '../models/numbers';
import { view } from '../models/shop';
import { inOrder } from '../models/tags';
import { tell } from '../models/tell';
import type { Piece } from '../models/view';
import { say } from '../words/say';
import { span, when } from '../words/times';
import { Ago } from './ago';
import { Choose } from './choose';
import { Field } from './field';
import { Fold } from './fold';
import { Tape } from './tape';

const PLACES = [...WHERE, 'waste_block', 'wrapping'] as const;
const SINCE_H = [1, 3, 6, 12, 24, 48, 96, 168];
const HOUR_MS = 3_600_000;

export function PieceNumber({ piece }: { piece: Piece }) {
  return (
    <section class="stack">
      <details>
        <summary class="quiet">{say('numbers.where')}</summary>
        <div class="stack unfolded">
          <div class="tiles tiles-wide">
            {PLACES.map((where) => (
              <Tape
                key={where}
                verb={say(`numbers.where.${where}`)}
                about={piece.tag}
                onTap={() => tell('number_moved', { pieces: [piece.id], where })}
              />
            ))}
          </div>
          <Ago />
        </div>
      </details>
      <Fold title={say('swap.title')}>{() => <Swap piece={piece} />}</Fold>
    </section>
  );
}

/** Both names stay; what was told of the one since then counts for the other. */
function Swap({ piece }: { piece: Piece }) {
  const [other, since, note] = [useSignal(''), useSignal(''), useSignal('')];
  const done = useSignal('');
  const others = inOrder(view.value?.pieces ?? []).filter(
    (one) => one.id !== piece.id && one.what === piece.what,
  );
  const whole = others.find((one) => one.id === other.value);
  const swap = async () => {
    const at = new Date(shopTime() - Number(since.value) * HOUR_MS).toISOString();
    const said = { first: piece.id, second: other.value, since: at, note: note.value };
    if (!whole || !(await tell('records_swapped', said, 0))) return;
    done.value = say('swap.done', { one: piece.tag, other: whole.tag });
    other.value = since.value = note.value = '';
  };
  return (
    <div class="stack">
      <p>{say('swap.note')}</p>
      {others.length === 0 && <p>{say('swap.none')}</p>}
      <Choose
        small
        legend={say('swap.other')}
        chosen={new Set([other.value])}
        onChoose={(id) => (other.value = id)}
        choices={others.map((one) => ({ value: one.id, label: one.tag }))}
      />
      <Since chosen={since.value} onChoose={(hours) => (since.value = hours)} />
      <Field label={say('swap.seen')} value={note} />
      <Tape wide verb={say('swap.do')} disabled={!whole || !since.value} onTap={swap} />
      {done.value && <p role="status">{done.value}</p>}
    </div>
  );
}

function Since({ chosen, onChoose }: { chosen: string; onChoose: (hours: string) => void }) {
  return (
    <Choose
      small
      legend={say('swap.since')}
      chosen={new Set([chosen])}
      onChoose={onChoose}
      choices={SINCE_H.map((hours) => ({
        value: String(hours),
        label: when(minute.value - hours * HOUR_MS, minute.value),
        note: say('time.ago', { span: span(hours * HOUR_MS) }),
      }))}
    />
  );
}
