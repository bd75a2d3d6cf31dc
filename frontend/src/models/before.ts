/** What is known before the act: too cold, too damp, when its gates would come. From tables only. */
import { finish, type Found } from './provisional';
import type { Instant, Material, Place, View } from './view';

export interface Ahead {
  kind: string;
  found: Found;
}

/** When each of these gates would come if it started now. */
export function ahead(view: View, material: Material, place: string, kinds: readonly string[], start: Instant): Ahead[] {
  return kinds.flatMap((kind) => {
    const found = finish(view.offsets, material, place, kind, start);
    return found ? [{ kind, found }] : [];
  });
}

/** The first instant before keep-warm is reached at which the place is expected below the minimum. */
export function coldAt(view: View, material: Material, place: Place, start: Instant): Instant | undefined {
  const floor_c = material.label.min_c;
  const until = finish(view.offsets, material, place.id, 'keep_warm', start)?.at;
  if (floor_c === null || until === undefined) return undefined;
  const end_ms = until === null ? Infinity : Date.parse(until);
  if (place.reading && place.reading.temp_c < floor_c) return start;
  return place.expected.find(
    ([at, temp_c]) => at >= start && Date.parse(at) <= end_ms && temp_c < floor_c,
  )?.[0];
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
