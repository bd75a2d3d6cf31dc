/** A temporary bond: on what, and before which act it must be off. */
import { useComputed, useSignal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { ago_min } from '../models/ago';
import { view } from '../models/shop';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { Ago } from '../parts/ago';
import { AtHand } from '../parts/at-hand';
import { Cautions } from '../parts/caution';
import { Choose } from '../parts/choose';
import { PickPieces } from '../parts/pick';
import { say, type Key } from '../words/say';

const HOLDS: Key[] = ['hold.hot_melt', 'hold.tape', 'hold.paper', 'hold.block'];
const BEFORE = ['cnc', 'lathe', 'finish', 'finish_of_that_end', 'end_of_day'] as const;

export default function StartHold() {
  const { route } = useLocation();
  const what = useSignal('');
  const before = useSignal('');
  const pieces = useSignal<ReadonlySet<string>>(new Set());
  const chosen = useComputed(() =>
    (view.value?.pieces ?? []).filter((one) => pieces.value.has(one.id)),
  );
  const missing = !what.value ? 'what' : chosen.value.length ? undefined : 'pieces';
  const tap = async () => {
    const min_ago = ago_min.peek();
    for (const piece of chosen.value) {
      const said = { hold: newId(), piece: piece.id, what: what.value, off_before: before.value };
      await tell('hold_on', said, min_ago);
    }
    route('/now');
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('start.hold')}</h1>
      <Choose
        legend={say('hold.what')}
        chosen={new Set([what.value])}
        onChoose={(value) => (what.value = value)}
        choices={HOLDS.map((key) => ({ value: say(key), label: say(key) }))}
      />
      <Choose
        legend={say('hold.before')}
        chosen={new Set([before.value])}
        onChoose={(value) => (before.value = value)}
        choices={BEFORE.map((one) => ({ value: one, label: say(`hold.before.${one}`) }))}
      />
      <PickPieces chosen={pieces} />
      <Cautions keys={['hold_turning']} container="hold" />
      <Ago />
      <AtHand verb="tap.hold_on" missing={missing} onTap={tap} />
    </main>
  );
}
