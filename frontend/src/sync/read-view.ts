/** The server's JSON as the phone's shapes; throws if it is no view at all. */
import type { Gate, Group, Line, NowList, Offsets, Piece, Span, View } from '../models/view';

type Told = Record<string, unknown>;

export function readView(told: unknown): View {
  const view = told as Told;
  if (typeof view?.now !== 'string' || !Array.isArray(view.groups) || !view.workshop || !view.me) {
    throw new TypeError('not a view');
  }
  return {
    ...(view as unknown as View),
    places: list(view.places),
    materials: list(view.materials),
    pieces: list<Piece>(view.pieces).map((piece) => ({ ...piece, zones: list(piece.zones) })),
    batches: list(view.batches),
    groups: list<Told>(view.groups).map(group),
    now_list: nowLists(view.now_list as Told | undefined),
    holds: list(view.holds),
    conflicts: list(view.conflicts),
    offsets: offsets(view.offsets),
  };
}

function group(told: Told): Group {
  const plain = told as unknown as Group;
  return {
    ...plain,
    gates: list<Told>(told.gates).map(gate),
    pieces: list(told.pieces),
    suspect: list(told.suspect),
    foretold: list(told.foretold),
    unsure: list(told.unsure),
  };
}

function gate(told: Told): Gate {
  const acts = (told.opens ? told.not_before : told.not_after) as Span | string | null;
  return { ...(told as unknown as Gate), acts: span(acts) };
}

function span(told: Span | string | null | undefined): Span {
  if (typeof told === 'string') return { first: told, last: told };
  return { first: told?.first ?? null, last: told?.last ?? null };
}

function nowLists(told: Told | undefined): NowList {
  return {
    soon: list<Line>(told?.soon),
    may: list<Line>(told?.may),
    wrong: list<Line>(told?.wrong),
    not_yet: list<Line>(told?.not_yet),
  };
}

function offsets(told: unknown): Offsets[] {
  if (Array.isArray(told)) return told as Offsets[];
  return Object.values((told ?? {}) as Record<string, Offsets>);
}

function list<T>(told: unknown): T[] {
  return Array.isArray(told) ? (told as T[]) : [];
}
