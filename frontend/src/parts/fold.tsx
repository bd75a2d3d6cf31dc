/** Folded away until it is wanted, and not drawn before: a long list costs nothing while it is shut. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

interface Props {
  title: ComponentChildren;
  children: () => ComponentChildren;
}

export function Fold({ title, children }: Props) {
  const [opened, setOpened] = useState(false);
  return (
    <details class="stack" onToggle={(event) => event.currentTarget.open && setOpened(true)}>
      <summary class="quiet">{title}</summary>
      {opened && children()}
    </details>
  );
}
