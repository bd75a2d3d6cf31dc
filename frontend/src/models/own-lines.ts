/** Lines of a group that only this phone knows in its present state, off its provisional gates. */
import { HURTS } from './provisional';
import type { Gate, Group, Line, NowList } from './view';

const SOON_MS = 30 * 60_000;
/** What each permits, from least to most: only the furthest one open is worth a line. */
const LADDERS = [
  ['light', 'heavy'],
  ['dust_free', 'touch', 'handle', 'wrap', 'full_cure'],
];
/** Done while the clamps are still on. */
const IN_CLAMPS = new Set(['clamps_off', 'clamps_off_stressed', 'scrape_opens']);
const UNCLAMPED = new Set(['clamps_off', 'clamps_off_stressed']);

export function ownLines(group: Group, at_ms: number): NowList {
  const line = lineOf(group);
  const rags = group.rags ? [line('rags', null, null)] : [];
  return { ...linesOfState(group, at_ms, line), ...(rags.length && { soon: rags }) };
}

type MakeLine = (act: string, at: string | null, until: string | null, reason?: string) => Line;

function linesOfState(group: Group, at_ms: number, line: MakeLine): NowList {
  const none: NowList = { soon: [], may: [], wrong: [], not_yet: [] };
  if (group.state === 'spreading' || group.state === 'closed') {
    return {
      ...none,
      soon: [line('press', null, gateOf(group, 'total_assembly')?.acts.first ?? null)],
    };
  }
  if (group.state === 'coating' || group.state === 'paused') {
    return { ...none, soon: [line('end_coat', group.began_at, null)] };
  }
  return { ...closingLines(group, at_ms, line), ...openingLines(group, at_ms, line) };
}

function closingLines(
  group: Group,
  at_ms: number,
  line: MakeLine,
): Pick<NowList, 'soon' | 'wrong'> {
  const closing = group.gates.filter((gate) => !gate.opens && !gate.over && gate.acts.first);
  const left = (gate: Gate) => Date.parse(gate.acts.first!) - at_ms;
  return {
    soon: closing
      .filter((gate) => left(gate) > 0 && left(gate) <= SOON_MS)
      .map((gate) => line(gate.kind, null, gate.acts.first)),
    wrong: closing
      .filter((gate) => left(gate) <= 0)
      .map((gate) => line(gate.kind, gate.acts.first, null, 'shut')),
  };
}

function openingLines(
  group: Group,
  at_ms: number,
  line: MakeLine,
): Pick<NowList, 'may' | 'not_yet'> {
  const offered = group.gates.filter((gate) => gate.opens && !gate.over && isOffered(group, gate));
  const open = worthwhile(offered.filter((gate) => opensBy(gate, at_ms)));
  const next = offered.find((gate) => !opensBy(gate, at_ms));
  return {
    may: open.map((gate) => ({
      ...line(gate.kind, gate.acts.last, null),
      forbidden: barred(group, gate, at_ms),
    })),
    not_yet: next ? [line(next.kind, next.acts.last, null)] : [],
  };
}

/** Nothing but unclamping and scraping while the clamps are on; no unclamping once they are off. */
function isOffered(group: Group, gate: Gate): boolean {
  if (group.suspect.length > 0) return false;
  if (group.state === 'pressed') return IN_CLAMPS.has(gate.kind);
  return !UNCLAMPED.has(gate.kind);
}

/** The next act up the ladder that must still wait. */
function barred(group: Group, gate: Gate, at_ms: number): Line['forbidden'] {
  const later = group.gates.slice(group.gates.indexOf(gate) + 1);
  const next = later.find((one) => one.opens && !one.over && !opensBy(one, at_ms));
  return next ? { kind: next.kind, until: next.hurts ? next.sure : next.acts.last } : null;
}

function worthwhile(open: Gate[]): Gate[] {
  const kinds = new Set(open.map((gate) => gate.kind));
  const passed = LADDERS.flatMap((rungs) => rungs.filter((kind) => kinds.has(kind)).slice(0, -1));
  return open.filter((gate) => !passed.includes(gate.kind));
}

function opensBy(gate: Gate, at_ms: number): boolean {
  if (HURTS.has(gate.kind) || gate.hurts) return false;
  return gate.acts.last !== null && Date.parse(gate.acts.last) <= at_ms;
}

function lineOf(group: Group): MakeLine {
  return (act, at, until, reason = '') => ({
    act,
    group: group.id,
    name: group.name,
    pieces: group.pieces.map((piece) => piece.tag),
    place: group.place.name,
    place_id: group.place.id,
    at,
    until,
    forbidden: null,
    reason,
    cautions: act === 'rags' ? ['rags'] : [],
    provisional: true,
  });
}

export function gateOf(group: Group, kind: string): Gate | undefined {
  return group.gates.find((gate) => gate.kind === kind);
}
