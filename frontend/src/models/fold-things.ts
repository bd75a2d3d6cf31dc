/** Places, readings, pieces, labels and holds told on this phone and not yet heard of by the server. */
import type { Said } from '../store/tap';
import type { Folding } from './fold';
import { familyOf, type Family } from './library';
import type { Material, Piece, Place, View } from './view';

interface PieceSaid {
  id: string;
  tag: string;
  what?: string;
  zones?: { id: string; name: string; keep_bare?: boolean }[];
}

function placeMade(view: View, said: Said): View {
  const made: Place = {
    id: String(said.place),
    name: String(said.name),
    reading: null,
    expected: [],
    recent: [],
  };
  const others = view.places.filter((one) => one.id !== made.id);
  return { ...view, places: [...others, made] };
}

function readingTaken(view: View, said: Said, at: string): View {
  const temp_c = Number(said.temp_c);
  const rh_pct = typeof said.rh_pct === 'number' ? said.rh_pct : null;
  return withPlace(view, said.place, (place) => ({
    ...place,
    recent: [...place.recent, [at, temp_c, 'typed']],
    reading:
      place.reading && place.reading.at > at
        ? place.reading
        : { at, temp_c, rh_pct, mark: 'typed', age_s: 0 },
  }));
}

function lowestLastNight(view: View, said: Said, at: string): View {
  return withPlace(view, said.place, (place) => ({
    ...place,
    recent: [...place.recent, [at, Number(said.temp_c), 'minmax']],
  }));
}

function withPlace(view: View, id: unknown, change: (place: Place) => Place): View {
  return { ...view, places: view.places.map((one) => (one.id === id ? change(one) : one)) };
}

function piecesMade(view: View, said: Said): View {
  const made = (said.pieces as PieceSaid[]).map((one): Piece => ({
    id: one.id,
    tag: one.tag,
    what: one.what ?? '',
    batch: typeof said.batch === 'string' ? said.batch : null,
    zones: (one.zones ?? []).map((zone) => ({
      id: zone.id,
      name: zone.name,
      keep_bare: zone.keep_bare ?? false,
      coats: 0,
    })),
    suspect: null,
    joints_declared: false,
  }));
  return { ...view, pieces: [...view.pieces, ...made] };
}

function zonesMade(view: View, said: Said): View {
  const told = said.parts as { id: string; piece: string; name: string; keep_bare?: boolean }[];
  const pieces = view.pieces.map((piece) => {
    const known = new Set(piece.zones.map((zone) => zone.id));
    const fresh = told
      .filter((one) => one.piece === piece.id && !known.has(one.id))
      .map(({ id, name, keep_bare }) => ({ id, name, keep_bare: keep_bare ?? false, coats: 0 }));
    return fresh.length ? { ...piece, zones: [...piece.zones, ...fresh] } : piece;
  });
  return { ...view, pieces };
}

function labelRead(view: View, said: Said, at: string): View {
  const known = view.materials.find((one) => one.id === said.material);
  const typical = familyOf(String(said.family));
  const made: Material = {
    id: String(said.material),
    name: String(said.name),
    family: String(said.family),
    role: known?.role ?? typical?.role ?? '',
    learned: known?.learned ?? [],
    label: {
      ...(known?.label ?? typicalLabel(typical)),
      id: String(said.label),
      read: Object.keys((said.values as object | undefined) ?? {}).length > 0,
      container: String(said.container ?? ''),
      read_by: null,
      since: at,
    },
  };
  return { ...view, materials: [...view.materials.filter((one) => one.id !== made.id), made] };
}

/** What is usual of its kind, until the server has spoken; nothing where the kind is not known here. */
function typicalLabel(typical: Family | undefined) {
  return {
    gates: typical?.gates ?? [],
    cautions: typical?.cautions ?? [],
    min_c: typical?.min_c?.value ?? null,
    max_rh_pct: typical?.max_rh_pct?.value ?? null,
  };
}

function holdOn(view: View, said: Said): View {
  const hold = {
    id: String(said.hold),
    piece: String(said.piece),
    what: String(said.what),
    off_before: String(said.off_before ?? ''),
  };
  return { ...view, holds: [...view.holds, hold] };
}

function holdOff(view: View, said: Said): View {
  return { ...view, holds: view.holds.filter((one) => one.id !== said.hold) };
}

function pieceLost(view: View, said: Said): View {
  const without = <T extends { id: string }>(all: readonly T[]) =>
    all.filter((one) => one.id !== said.piece);
  const groups = view.groups.map((group) => ({ ...group, pieces: without(group.pieces) }));
  return {
    ...view,
    pieces: without(view.pieces),
    groups: groups.filter((one) => one.pieces.length > 0),
  };
}

function jointsDeclared(view: View, said: Said): View {
  const pieces = view.pieces.map((one) =>
    one.id === said.piece ? { ...one, joints_declared: true } : one,
  );
  return { ...view, pieces };
}

/** What is left out still holds; days that are not named are free. */
function shopTold(view: View, said: Said): View {
  const days = said.hours as { weekday: number; comes: string; goes: string }[] | undefined;
  const hours = days && Object.fromEntries(days.map((one) => [one.weekday, [one.comes, one.goes]]));
  const workshop = {
    ...view.workshop,
    ...(typeof said.name === 'string' && { name: said.name }),
    ...(typeof said.home_time === 'string' && { home_time: said.home_time }),
    ...(hours && { hours }),
  };
  return { ...view, workshop };
}

function conflictSettled(view: View, said: Said): View {
  return { ...view, conflicts: view.conflicts.filter((one) => one.id !== said.conflict) };
}

export const thingTold: Record<string, Folding> = {
  place_made: placeMade,
  reading_taken: readingTaken,
  lowest_last_night: lowestLastNight,
  pieces_made: piecesMade,
  zones_made: zonesMade,
  label_read: labelRead,
  hold_on: holdOn,
  hold_off: holdOff,
  joints_declared: jointsDeclared,
  piece_lost: pieceLost,
  conflict_settled: conflictSettled,
  shop_told: shopTold,
};
