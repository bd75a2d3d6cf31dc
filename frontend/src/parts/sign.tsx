/** The shapes that say it before any colour does. Each stands beside its word, never alone. */
export type SignKind = 'may' | 'stop' | 'heed' | 'unsure' | 'kept' | 'wait';

const SHAPES: Record<SignKind, string> = {
  may: 'M12 2a10 10 0 1 0 0 20 10 10 0 0 0 0-20z',
  stop: 'M8 1.5h8L22.5 8v8L16 22.5H8L1.5 16V8z',
  heed: 'M12 1.5 23.5 22H.5z',
  unsure: 'M12 .8 23.2 12 12 23.2.8 12z',
  kept: 'M12 4a8 8 0 1 0 0 16 8 8 0 0 0 0-16z',
  wait: 'M3 2h18l-7 10 7 10H3l7-10z',
};

export function Sign({ kind }: { kind: SignKind }) {
  return (
    <svg class={`sign sign-${kind}`} viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={SHAPES[kind]} />
    </svg>
  );
}
