/** Words that are shown this once and kept nowhere, with a way to copy them. */
import type { ComponentChildren } from 'preact';
import { Tape } from './tape';

interface Props {
  head: string;
  note: string;
  words: string;
  copy: string;
  children?: ComponentChildren;
}

export function ShownOnce({ head, note, words, copy, children }: Props) {
  return (
    <section class="notice" role="status">
      <div class="stack">
        <h2>{head}</h2>
        <p>{note}</p>
        <p class="address token">{words}</p>
        {children}
        {navigator.clipboard && (
          <Tape
            verb={copy}
            onTap={() => navigator.clipboard.writeText(words).catch(() => undefined)}
          />
        )}
      </div>
    </section>
  );
}
