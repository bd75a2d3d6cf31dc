/** A row that leads somewhere: its word, what it answers. */
import type { ComponentChildren } from 'preact';

export function LinkRow({
  href,
  title,
  note,
  children,
}: {
  href: string;
  title: string;
  note?: string;
  children?: ComponentChildren;
}) {
  return (
    <a class="row-link" href={href}>
      <b class="row-title">{title}</b>
      {note && <span class="soft">{note}</span>}
      {children}
    </a>
  );
}
