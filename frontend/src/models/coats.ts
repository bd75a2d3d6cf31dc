/** Zones of many pieces by their names: what a coat goes on, and what is kept bare. */
import type { Piece } from './view';

export interface ZoneChoice {
  name: string;
  coats: number;
}

export function zoneChoices(pieces: readonly Piece[]): { coated: ZoneChoice[]; bare: string[] } {
  const coated = new Map<string, number>();
  const bare = new Set<string>();
  for (const zone of pieces.flatMap((piece) => piece.zones)) {
    if (zone.keep_bare) bare.add(zone.name);
    else coated.set(zone.name, Math.min(coated.get(zone.name) ?? Infinity, zone.coats));
  }
  return { coated: [...coated].map(([name, coats]) => ({ name, coats })), bare: [...bare] };
}

/** A part that has to be told before it can be coated. */
export interface PartSaid {
  id: string;
  piece: string;
  name: string;
}

/**
 * For each piece without any part the whole of it. Two phones that tell it mean the same part:
 * its id is that of the piece with the first eight digits turned over.
 */
export function wholes(pieces: readonly Piece[], name: string): PartSaid[] {
  return pieces
    .filter((piece) => !piece.zones.length)
    .map((piece) => ({ id: turned(piece.id), piece: piece.id, name }));
}

function turned(id: string): string {
  const first = (Number.parseInt(id.slice(0, 8), 16) ^ 0xffffffff) >>> 0;
  return first.toString(16).padStart(8, '0') + id.slice(8);
}

/** The zones that get the coat, piece by piece in the order of their numbers. */
export function zonesNamed(pieces: readonly Piece[], wanted: (name: string) => boolean): string[] {
  return pieces
    .flatMap((piece) => piece.zones)
    .filter((zone) => !zone.keep_bare && wanted(zone.name))
    .map((zone) => zone.id);
}

/** The zones with a coat on, if each piece has exactly one; else nobody can tell which are meant. */
export function sameZones(pieces: readonly Piece[]): string[] {
  const coated = pieces.map((piece) =>
    piece.zones.filter((zone) => !zone.keep_bare && zone.coats > 0),
  );
  return coated.every((zones) => zones.length === 1) ? coated.map((zones) => zones[0]!.id) : [];
}
