/** What is known of a place's air: the night past and the night to come. */
import { dayOf, hourOf } from '../words/times';
import { isNight } from './nights';
import type { Place, View } from './view';

const DAY_MS = 24 * 3_600_000;
const MORNING_UNTIL_H = 12;
/** Tiles around the expected low, so that what the thermometer says is two touches away. */
const AROUND = [-4, -3, -2, -1, 0, 1, 2, 3, 4];

export interface Low {
  temp_c: number;
  at: string;
}

/** The lowest of what is expected in the night to come. */
export function expectedLow(place: Place, from_ms: number): Low | undefined {
  const ahead = place.expected.filter(([at]) => {
    const at_ms = Date.parse(at);
    return at_ms >= from_ms && at_ms < from_ms + DAY_MS && isNight(hourOf(at_ms));
  });
  return lowest(ahead.map(([at, temp_c]) => ({ at, temp_c })));
}

/** The lowest told for this morning, if somebody has. */
export function lowestTold(place: Place, now_ms: number): number | undefined {
  const today = dayOf(now_ms);
  const told = place.recent.filter(
    ([at, , mark]) => mark === 'minmax' && dayOf(Date.parse(at)) === today,
  );
  return told.length ? Math.min(...told.map(([, temp_c]) => temp_c)) : undefined;
}

/** The lowest measured or guessed of the night past: where the tiles begin. */
export function lowGuess(place: Place, now_ms: number): number {
  const night = place.recent.filter(([at]) => Date.parse(at) > now_ms - DAY_MS / 2);
  const low = lowest(night.map(([at, temp_c]) => ({ at, temp_c })))?.temp_c;
  return Math.round(low ?? expectedLow(place, now_ms)?.temp_c ?? place.reading?.temp_c ?? 8);
}

export function tilesAround(middle: number): number[] {
  return AROUND.map((step) => middle + step);
}

/** Places that hold something, in the morning, where nobody has told the lowest. */
export function lowestAsked(view: View, now_ms: number): Place[] {
  if (hourOf(now_ms) >= MORNING_UNTIL_H) return [];
  const used = new Set(view.groups.map((group) => group.place.id));
  return view.places.filter(
    (place) => used.has(place.id) && lowestTold(place, now_ms) === undefined && !measured(place),
  );
}

/** A sensor knows its own lowest. */
function measured(place: Place): boolean {
  return place.reading?.mark === 'measured';
}

function lowest(points: readonly Low[]): Low | undefined {
  return points.reduce<Low | undefined>(
    (low, one) => (!low || one.temp_c < low.temp_c ? one : low),
    undefined,
  );
}
