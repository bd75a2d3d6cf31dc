/** The nights of a stretch of time, by the wall clock of the shop. */
import { hourOf } from '../words/times';

const HOUR_MS = 3_600_000;
/** A night by the shop's own clock, as the server draws it; only for the shading of strips. */
const DUSK_H = 20;
const DAWN_H = 8;

export function nightsIn(from_ms: number, to_ms: number): [number, number][] {
  const found: [number, number][] = [];
  const first = Math.floor(from_ms / HOUR_MS) * HOUR_MS;
  for (let hour_ms = first; hour_ms < to_ms; hour_ms += HOUR_MS) {
    if (!isNight(hourOf(hour_ms))) continue;
    const last = found.at(-1);
    if (last && last[1] === hour_ms) last[1] = hour_ms + HOUR_MS;
    else found.push([hour_ms, hour_ms + HOUR_MS]);
  }
  return found.map(([begun, ended]) => [Math.max(begun, from_ms), Math.min(ended, to_ms)]);
}

export function isNight(hour: number): boolean {
  return hour >= DUSK_H || hour < DAWN_H;
}
