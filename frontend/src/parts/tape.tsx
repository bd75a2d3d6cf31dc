/** The one-tap button, torn like masking tape: what looks like this writes something down. */
import { useState } from 'preact/hooks';

interface Props {
  verb: string;
  /** What it is about, for those who do not see the line it stands in. */
  about?: string;
  note?: string | undefined;
  onTap: () => Promise<unknown> | void;
  wide?: boolean;
  disabled?: boolean;
}

export function Tape({ verb, about, note, onTap, wide = false, disabled = false }: Props) {
  const [busy, setBusy] = useState(false);
  const tap = async () => {
    if (busy) return;
    setBusy(true);
    try {
      await onTap();
    } finally {
      setBusy(false);
    }
  };
  return (
    <button
      type="button"
      class={wide ? 'tape tape-wide' : 'tape'}
      aria-label={about ? `${verb} – ${about}` : undefined}
      aria-busy={busy}
      disabled={disabled}
      onClick={tap}
    >
      <span class="tape-verb">{verb}</span>
      {note && <span class="tape-note">{note}</span>}
    </button>
  );
}
