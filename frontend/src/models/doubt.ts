/** What a doubt forbids: time never clears it, so no time is shown for what it stands against. */
import type { Gate, Group } from './view';

/** Done whatever the joint or the film is worth. */
const ALL_THE_SAME = new Set([
  'clamps_off',
  'clamps_off_stressed',
  'scrape_opens',
  'drip_check',
  'rewipe',
  'dust_free',
  'touch',
  'keep_warm',
]);

/** The pieces of a group that a doubt stands against; all of them where it names none. */
export function doubted(group: Group): string[] {
  const tags = group.pieces.map((piece) => piece.tag);
  const named = new Set(group.suspect.flatMap((one) => one.pieces));
  if (!group.suspect.length) return [];
  const found = tags.filter((tag) => named.has(tag));
  return found.length ? found : tags;
}

export function forbids(gate: Gate): boolean {
  return gate.opens && !ALL_THE_SAME.has(gate.kind);
}

/** Whether a gate is barred for every piece of its group. */
export function barredByDoubt(group: Group, gate: Gate): boolean {
  return forbids(gate) && group.suspect.length > 0 && doubted(group).length === group.pieces.length;
}
