/** What to do now and what to leave alone: the server's list, kept true as time passes. */
import { CLOSES } from './provisional';
import type { Gate, Group, Line, NowList, View } from './view';

const TEN_MINUTES_MS = 10 * 60_000;
/** What each permits, from least to most: only the furthest one open is worth a line. */
const LADDERS = [
  ['light', 'heavy'],
  ['dust_free', 'touch', 'handle'],
];
export const NOTHING: NowList = { soon: [], may: [], wrong: [], not_yet: [] };

/** The list to show at an instant: the server's lines, and our own for what it has not heard of. */
export function nowList(view: View, at_ms: number): NowList {
  const ours = view.groups.filter((group) => group.provisional);
  const gone = new Set(ours.map((group) => group.id));
  const theirs = mapLists(view.now_list, (lines) => lines.filter((one) => !gone.has(one.group)));
  const hurts = hurting(view);
  return ours.map((group) => ownLines(group, at_ms)).reduce(join, moveOn(theirs, at_ms, hurts));
}

/** Lines whose time has come since the server wrote them. A gate that can hurt never opens here. */
function moveOn(list: NowList, at_ms: number, hurts: ReadonlySet<string>): NowList {
  const come = (line: Line) =>
    line.at !== null && Date.parse(line.at) <= at_ms && !hurts.has(line.act);
  const late = (line: Line) => line.until !== null && Date.parse(line.until) <= at_ms;
  const opened = list.not_yet.filter(come).map((line) => ({ ...line, provisional: true }));
  return {
    soon: list.soon.filter((line) => !late(line)),
    may: [...list.may, ...opened].filter((line) => !late(line)),
    wrong: [...list.wrong, ...[...list.soon, ...list.may].filter(late)],
    not_yet: list.not_yet.filter((line) => !come(line)),
  };
}

function hurting(view: View): Set<string> {
  const kinds = view.groups.flatMap((group) => group.gates.filter((gate) => gate.hurts));
  return new Set(['spin', 'service', ...kinds.map((gate) => gate.kind)]);
}

/** The lines of a group that only this phone knows in its present state. */
export function ownLines(group: Group, at_ms: number): NowList {
  const line = lineOf(group);
  if (group.state === 'spreading' || group.state === 'closed') {
    return { ...NOTHING, soon: [line('press', null, actsFirst(gateOf(group, 'total_assembly')))] };
  }
  if (group.state === 'coating' || group.state === 'paused') {
    return { ...NOTHING, soon: [line('end_coat', null, null)] };
  }
  const open = worthwhile(group.gates.filter((gate) => gate.opens && opensBy(gate, at_ms)), group);
  const shut = group.gates.filter((gate) => gate.opens && !opensBy(gate, at_ms));
  const closing = group.gates.filter((gate) => CLOSES.has(gate.kind) && gate.acts.first);
  const soon = closing.filter((gate) => within(gate, at_ms, TEN_MINUTES_MS));
  return {
    soon: soon.map((gate) => line(gate.kind, null, gate.acts.first)),
    may: open.map((gate) => line(gate.kind, gate.acts.last, null)),
    wrong: closing
      .filter((gate) => Date.parse(gate.acts.first!) <= at_ms)
      .map((gate) => line(gate.kind, null, gate.acts.first)),
    not_yet: shut.map((gate) => line(gate.kind, gate.acts.last, null)),
  };
}

function lineOf(group: Group) {
  return (act: string, at: string | null, until: string | null): Line => ({
    act,
    group: group.id,
    pieces: group.pieces.map((piece) => piece.tag),
    place: group.place.name,
    at,
    until,
    forbidden: null,
    provisional: true,
  });
}

function worthwhile(open: Gate[], group: Group): Gate[] {
  const kinds = new Set(open.map((gate) => gate.kind));
  const passed = new Set(LADDERS.flatMap((rungs) => rungs.filter((kind) => kinds.has(kind)).slice(0, -1)));
  const off = group.state === 'resting' ? ['clamps_off', 'clamps_off_stressed'] : [];
  return open.filter((gate) => !passed.has(gate.kind) && !off.includes(gate.kind) && gate.kind !== 'keep_warm');
}

function opensBy(gate: Gate, at_ms: number): boolean {
  return !gate.hurts && gate.acts.last !== null && Date.parse(gate.acts.last) <= at_ms;
}

function within(gate: Gate, at_ms: number, span_ms: number): boolean {
  const until_ms = Date.parse(gate.acts.first!) - at_ms;
  return until_ms > 0 && until_ms <= span_ms;
}

export function gateOf(group: Group, kind: string): Gate | undefined {
  return group.gates.find((gate) => gate.kind === kind);
}

function actsFirst(gate: Gate | undefined): string | null {
  return gate?.acts.first ?? null;
}

function join(one: NowList, other: NowList): NowList {
  return {
    soon: [...one.soon, ...other.soon],
    may: [...one.may, ...other.may],
    wrong: [...one.wrong, ...other.wrong],
    not_yet: [...one.not_yet, ...other.not_yet],
  };
}

function mapLists(list: NowList, change: (lines: Line[]) => Line[]): NowList {
  return {
    soon: change(list.soon),
    may: change(list.may),
    wrong: change(list.wrong),
    not_yet: change(list.not_yet),
  };
}

/** Lines by act, and within an act by where the things stand, in the order they came. */
export function byActAndPlace(lines: readonly Line[]): [string, [string, Line[]][]][] {
  const acts = new Map<string, Map<string, Line[]>>();
  for (const line of lines) {
    const places = acts.get(line.act) ?? new Map<string, Line[]>();
    places.set(line.place, [...(places.get(line.place) ?? []), line]);
    acts.set(line.act, places);
  }
  return [...acts].map(([act, places]) => [act, [...places]]);
}
