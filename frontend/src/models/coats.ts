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
