/** Pictures of a glue-up or a coat: they are kept with what was told of it. */
import { useEffect, useState } from 'preact/hooks';
import type { OnePiece } from '../models/one-piece';
import { served } from '../models/shop';
import type { Group } from '../models/view';
import { pullKept } from '../sync/pull';
import { say } from '../words/say';
import { Pictures } from './pictures';

export function GroupPictures({ group }: { group: Group }) {
  const [open, setOpen] = useState(false);
  const [told, setTold] = useState<OnePiece['history']>();
  const [failed, setFailed] = useState(false);
  const piece = group.pieces[0]?.id;
  const heard = served.value?.now;
  useEffect(() => {
    if (!open || !piece) return;
    void pullKept<OnePiece>(`piece:${piece}`, `/api/pieces/${piece}`).then(
      (found) => {
        setTold(found.history.filter((line) => isOf(line, group.id)));
        setFailed(false);
      },
      () => setFailed(true),
    );
  }, [open, piece, heard]);
  if (!piece || group.kind === 'hold') return null;
  return (
    <section class="stack">
      <button type="button" class="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>
        {say('picture.head')}
      </button>
      {open && failed && <p role="alert">{say('can.history_needs_signal')}</p>}
      {open && told && <Pictures lines={told} />}
    </section>
  );
}

function isOf(line: OnePiece['history'][number], group: string): boolean {
  return line.said.glue_up === group || line.said.coat === group;
}
