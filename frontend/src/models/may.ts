/** May it? The lathe's answer comes from the server alone; the rest is read off the gates shown. */
import { actingFigure } from './strip';
import type { Gate, Group, Instant, View } from './view';

export interface Answer {
  word: 'yes' | 'not_yet' | 'no' | 'unsure' | 'unknown';
  until: Instant | null;
  blame: string;
  reasons: { key: string; name: string; at: Instant | null }[];
  cautions: string[];
  answered_at: Instant;
}

export interface Also {
  kind: string;
  /** Null: open now. */
  until: Instant | null;
  never: boolean;
  /** A window that has shut: scuff first. */
  shut: boolean;
}

/** What a maker asks of a piece besides the lathe, in the order of the work. */
const ASKED = ['light', 'heavy', 'final_surfacing', 'recoat_opens', 'handle', 'wrap', 'full_cure'];

/** For each act, the last of all the waits on the piece: the slowest rules. */
export function alsoAsked(view: View, piece: string, at_ms: number): Also[] {
  const groups = view.groups.filter((group) => group.pieces.some((one) => one.id === piece));
  return ASKED.flatMap((kind) => {
    const gates = groups.flatMap((group) => group.gates.filter((gate) => gate.kind === kind));
    return gates.length ? [worst(kind, gates, groups, at_ms)] : [];
  });
}

function worst(
  kind: string,
  gates: readonly Gate[],
  groups: readonly Group[],
  at_ms: number,
): Also {
  const figures = gates.map(actingFigure);
  const never = figures.some((one) => one === null);
  const last =
    figures
      .filter((one) => one !== null)
      .sort()
      .at(-1) ?? null;
  const until = last && Date.parse(last) > at_ms ? last : null;
  return {
    kind,
    until,
    never,
    shut: kind === 'recoat_opens' && until === null && windowShut(groups, at_ms),
  };
}

function windowShut(groups: readonly Group[], at_ms: number): boolean {
  return groups.some((group) =>
    group.gates.some(
      (gate) =>
        gate.kind === 'recoat_closes' &&
        gate.acts.first !== null &&
        Date.parse(gate.acts.first) <= at_ms,
    ),
  );
}
