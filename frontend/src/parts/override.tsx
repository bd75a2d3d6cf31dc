/** Going against an answer takes two steps and a reason, and stays on the piece with a name. */
import { useState } from 'preact/hooks';
import { view } from '../models/shop';
import { tell } from '../models/tell';
import type { Act } from '../models/can';
import type { Piece } from '../models/view';
import { say, type Key } from '../words/say';
import { Choose } from './choose';
import { Tape } from './tape';

const REASONS: Key[] = [
  'can.reason.squeeze_out',
  'can.reason.witness',
  'can.reason.knows',
  'can.reason.must',
];

/** What is asked of a film; all else is asked of the joints. */
const OF_COAT = new Set<Act>(['coat', 'scuff', 'hang', 'turn_over', 'wrap', 'use']);

export function Override({ piece, act }: { piece: Piece; act: Act }) {
  const [open, setOpen] = useState(false);
  const [reason, setReason] = useState('');
  const kind = OF_COAT.has(act) ? 'coat' : 'glue_up';
  const groups = (view.value?.groups ?? []).filter(
    (group) => group.kind === kind && group.pieces.some((one) => one.id === piece.id),
  );
  if (!groups.length) return null;
  if (!open) {
    return (
      <button type="button" class="quiet" onClick={() => setOpen(true)}>
        {say('can.override')}
      </button>
    );
  }
  const write = async () => {
    for (const group of groups) await tell('override', { act, reason, [kind]: group.id });
    setOpen(false);
  };
  return (
    <section class="stack override">
      <p>{say('can.override_why')}</p>
      <Choose
        legend={say('can.override')}
        chosen={new Set([reason])}
        onChoose={setReason}
        choices={REASONS.map((key) => ({ value: say(key), label: say(key) }))}
      />
      <Tape wide verb={say('tap.override')} about={piece.tag} disabled={!reason} onTap={write} />
    </section>
  );
}
