/** What to do now and what to leave alone: the server's list, kept true as time passes. */
import { ownLines } from './own-lines';
import { HURTS } from './provisional';
import type { Line, NowList, View } from './view';

/** What the air will do: until it has, something can be done about it. */
const FORETOLD = new Set(['cold', 'asleep']);

export const NOTHING: NowList = { soon: [], may: [], wrong: [], not_yet: [] };

/** The list to show at an instant: the server's lines, and our own for what it has not heard of. */
export function nowList(view: View, at_ms: number): NowList {
  const ours = view.groups.filter((group) => group.provisional);
  const gone = new Set(ours.map((group) => group.id));
  const theirs = each(view.now_list, (lines) =>
    lines.filter((one) => one.act !== 'settle' && !gone.has(one.group ?? '')),
  );
  const lists = ours.map((group) => ownLines(group, at_ms)).reduce(join, moveOn(theirs, at_ms));
  const coming = (line: Line) => FORETOLD.has(line.act) && Date.parse(line.at ?? '') > at_ms;
  return {
    ...lists,
    soon: [...lists.soon, ...lists.wrong.filter(coming)].sort(sooner),
    wrong: lists.wrong.filter((line) => !coming(line)),
  };
}

/** Lines whose time has come since the server wrote them. A gate that can hurt never opens here. */
function moveOn(list: NowList, at_ms: number): NowList {
  const come = (line: Line) =>
    line.at !== null && Date.parse(line.at) <= at_ms && !HURTS.has(line.act);
  const late = (line: Line) => line.until !== null && Date.parse(line.until) <= at_ms;
  const shut = (line: Line) => ({ ...line, at: line.until, until: null, reason: 'shut' });
  const opened = list.not_yet.filter(come).map((line) => ({ ...line, provisional: true }));
  return {
    soon: list.soon.filter((line) => !late(line)),
    may: [...list.may, ...opened].filter((line) => !late(line)),
    wrong: [...list.wrong, ...list.soon.filter(late).map(shut)],
    not_yet: list.not_yet.filter((line) => !come(line)),
  };
}

function sooner(one: Line, other: Line): number {
  const first = (line: Line) =>
    line.act === 'rags' ? -1 : Date.parse(line.until ?? line.at ?? '9999-01-01');
  return first(one) - first(other);
}

function join(one: NowList, other: NowList): NowList {
  return {
    soon: [...one.soon, ...other.soon],
    may: [...one.may, ...other.may],
    wrong: [...one.wrong, ...other.wrong],
    not_yet: [...one.not_yet, ...other.not_yet],
  };
}

function each(list: NowList, change: (lines: Line[]) => Line[]): NowList {
  return {
    soon: change(list.soon),
    may: change(list.may),
    wrong: change(list.wrong),
    not_yet: change(list.not_yet),
  };
}

/** Pieces asked for one by one that wait for the same make one line. */
function merged(lines: readonly Line[]): Line[] {
  const found = new Map<string, Line>();
  for (const line of lines) {
    const key = [line.act, line.group, line.reason, line.at, line.until].join(' ');
    const same = found.get(key);
    found.set(key, same ? { ...same, name: '', pieces: [...same.pieces, ...line.pieces] } : line);
  }
  return [...found.values()];
}

/** Lines by act, and within an act by where the things stand, in the order they came. */
export function byActAndPlace(lines: readonly Line[]): [string, [string, Line[]][]][] {
  const acts = new Map<string, Map<string, Line[]>>();
  for (const line of merged(lines)) {
    const act = line.reason === 'shut' ? `shut.${line.act}` : line.act;
    const places = acts.get(act) ?? new Map<string, Line[]>();
    const there = places.get(line.place);
    if (there) there.push(line);
    else places.set(line.place, [line]);
    acts.set(act, places);
  }
  return [...acts].map(([act, places]) => [act, [...places]]);
}
