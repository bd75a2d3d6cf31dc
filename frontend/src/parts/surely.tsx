/** What cannot be taken back: first it says what it does, then it wants a second touch, or a name. */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { say } from '../words/say';
import { Field } from './field';
import { Sign } from './sign';
import { Tape } from './tape';

interface Props {
  verb: string;
  about: string;
  /** What is lost, and what stays. */
  children: ComponentChildren;
  /** Has to be typed first, as it is written. */
  typed?: string;
  onTap: () => Promise<unknown>;
}

export function Surely({ verb, about, children, typed, onTap }: Props) {
  const [open, setOpen] = useState(false);
  const said = useSignal('');
  if (!open) {
    return (
      <button
        type="button"
        class="quiet"
        aria-label={`${verb} – ${about}`}
        onClick={() => setOpen(true)}
      >
        {verb} …
      </button>
    );
  }
  const close = () => {
    said.value = '';
    setOpen(false);
  };
  const go = async () => {
    await onTap();
    close();
  };
  return (
    <section class="stack" aria-label={`${verb} – ${about}`}>
      <div class="notice notice-stop">
        <Sign kind="stop" />
        <div class="stack">{children}</div>
      </div>
      {typed && <Field label={say('surely.type', { name: typed })} value={said} />}
      <Tape
        wide
        verb={verb}
        about={about}
        disabled={typed !== undefined && said.value.trim() !== typed}
        onTap={go}
      />
      <button type="button" class="quiet" onClick={close}>
        {say('surely.leave')}
      </button>
    </section>
  );
}
