/** What is known before the act: too cold, too damp, when its gates would come. From tables only. */
import { finish, soonest, tablesOf, type Found } from './provisional';
import type { Foretold, Instant, Material, Place, View } from './view';

export interface Ahead {
  kind: string;
  found: Found;
}

/** When each of these gates would come if it started now. */
export function ahead(
  view: View,
  material: Material,
  place: string,
  kinds: readonly string[],
  start: Instant,
): Ahead[] {
  return kinds.flatMap((kind) => {
    const found = finish(view.offsets, material, place, kind, start);
    return found ? [{ kind, found }] : [];
  });
}

/** What the server foretells of a start now: too cold before it has set, or asleep. */
export function foretold(
  view: View,
  material: Material,
  place: string,
  start: Instant,
): Foretold[] {
  const tables = tablesOf(view.offsets, material, place);
  const is_cold = tables.some((table) => {
    const row = table.starts.findLastIndex((one) => one <= start);
    return table.spoils[Math.max(0, row)] ?? false;
  });
  return soonest(tables).filter((one) => one.cause !== 'cold' || is_cold);
}

export function belowMinimum(material: Material, place: Place): boolean {
  const floor_c = material.label.min_c;
  return floor_c !== null && place.reading !== null && place.reading.temp_c < floor_c;
}

export function aboveDamp(material: Material, place: Place): boolean {
  const most = material.label.max_rh_pct;
  const now = place.reading?.rh_pct;
  return most !== null && now !== null && now !== undefined && now > most;
}
