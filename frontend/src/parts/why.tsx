/** "Why?": the sum behind a figure, laid out so that a pencil comes to the same. */
import { useState } from 'preact/hooks';
import type { OneGroup, Sum } from '../models/sum';
import { pullKept } from '../sync/pull';
import { say } from '../words/say';
import { OneSum } from './one-sum';

export function Why({ group }: { group: string }) {
  const [told, setTold] = useState<OneGroup>();
  const [open, setOpen] = useState(false);
  const [failed, setFailed] = useState(false);
  const toggle = async () => {
    setOpen(!open);
    if (open) return;
    try {
      setTold(await pullKept<OneGroup>(`group:${group}`, `/api/groups/${group}`));
      setFailed(false);
    } catch {
      setFailed(true);
    }
  };
  return (
    <section class="why">
      <button type="button" class="quiet" aria-expanded={open} onClick={toggle}>
        {say(open ? 'why.hide' : 'why.show')}
      </button>
      {open && failed && <p role="alert">{say('why.needs_signal')}</p>}
      {open && told && sums(told).map((sum) => <OneSum key={sum.why_id} sum={sum} />)}
    </section>
  );
}

/** The waits come with the one that rules first, and of that with every sum. */
function sums(told: OneGroup): Sum[] {
  return told.waits[0]?.why ?? [];
}
