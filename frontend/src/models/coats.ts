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
