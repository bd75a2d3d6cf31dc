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
    offsets: list<Told>(view.offsets).map(table),
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
  const acts = told.acts as Partial<Span> | null | undefined;
  return {
    ...(told as unknown as Gate),
    acts: { first: acts?.first ?? null, last: acts?.last ?? null },
  };
}

function nowLists(told: Told | undefined): NowList {
  return {
    soon: list<Told>(told?.soon).map(line),
    may: list<Told>(told?.may).map(line),
    wrong: list<Told>(told?.wrong).map(line),
    not_yet: list<Told>(told?.not_yet).map(line),
  };
}

function line(told: Told): Line {
  return {
    ...(told as unknown as Line),
    pieces: list(told.pieces),
    cautions: list(told.cautions),
    reason: String(told.reason ?? ''),
  };
}

function table(told: Told): Offsets {
  return {
    ...(told as unknown as Offsets),
    spoils: list(told.spoils),
    foretold: list(told.foretold),
  };
}

function list<T>(told: unknown): T[] {
  return Array.isArray(told) ? (told as T[]) : [];
}
