/** What a night strip shows: a stretch of time, its air, and the gates that open and close in it. */
import { barredByDoubt } from './doubt';
import { nightsIn } from './nights';
import type { Gate, Group, Mark as AirMark, Place } from './view';

export interface AirPoint {
  at_ms: number;
  temp_c: number;
  assumed: boolean;
}

export interface StripMark {
  kind: string;
  opens: boolean;
  hurts: boolean;
  /** Where the soft edge begins: the bare figure, or the acting one where none is known. */
  bare_ms: number;
  /** The figure that acts: not before, sure, or not after. */
  acts_ms: number;
}

export interface Strip {
  from_ms: number;
  to_ms: number;
  air: AirPoint[];
  nights: [number, number][];
  marks: StripMark[];
  floor_c: number | null;
}

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const LONGEST_MS = 4 * DAY_MS;
const SHORTEST_MS = 4 * HOUR_MS;

export function stripOf(
  group: Group,
  place: Place | undefined,
  floor_c: number | null,
  now_ms: number,
): Strip {
  const marks = group.gates
    .filter((gate) => isShown(gate) && !barredByDoubt(group, gate))
    .flatMap(markOf);
  const [from_ms, to_ms] = reach(Date.parse(group.began_at), marks, now_ms);
  return {
    from_ms,
    to_ms,
    air: clip(airOf(place), from_ms, to_ms),
    nights: nightsIn(from_ms, to_ms),
    marks: marks
      .filter((mark) => mark.opens || mark.acts_ms >= from_ms)
      .filter((mark) => mark.bare_ms <= to_ms),
    floor_c,
  };
}

/** One place's day and night by themselves, without a wait. */
export function airStrip(place: Place, now_ms: number): Strip {
  const [from_ms, to_ms] = [now_ms - 12 * HOUR_MS, now_ms + 24 * HOUR_MS];
  const air = clip(airOf(place), from_ms, to_ms);
  return { from_ms, to_ms, air, nights: nightsIn(from_ms, to_ms), marks: [], floor_c: null };
}

/** Acts that are done are over, and keep-warm is watched by the server alone. */
export function isShown(gate: Gate): boolean {
  return !gate.over && gate.kind !== 'keep_warm';
}

export function markOf(gate: Gate): StripMark[] {
  const acts = actingFigure(gate);
  if (!acts) return [];
  const acts_ms = Date.parse(acts);
  const bare_ms = gate.bare && gate.opens ? Math.min(Date.parse(gate.bare), acts_ms) : acts_ms;
  return [{ kind: gate.kind, opens: gate.opens, hurts: gate.hurts, bare_ms, acts_ms }];
}

/** Gates that can hurt act at sure, others that open at not before, closing ones at not after. */
export function actingFigure(gate: Gate): string | null {
  if (!gate.opens) return gate.acts.first;
  return gate.hurts ? gate.sure : gate.acts.last;
}

/** From its beginning to the last gate that fits; of a long wait no more than a day before now. */
function reach(began_ms: number, marks: readonly StripMark[], now_ms: number): [number, number] {
  const ends = marks.map((mark) => mark.acts_ms).filter((ms) => ms - now_ms <= LONGEST_MS);
  const last = Math.max(...ends, now_ms, began_ms + SHORTEST_MS);
  const first = Math.max(began_ms, Math.min(last - LONGEST_MS, now_ms - DAY_MS));
  const edge = (last - first) * 0.05;
  return [first - edge, last + edge];
}

function airOf(place: Place | undefined): AirPoint[] {
  if (!place) return [];
  const point = ([at, temp_c]: [string, number, ...unknown[]], assumed: boolean): AirPoint => ({
    at_ms: Date.parse(at),
    temp_c,
    assumed,
  });
  const told = place.recent.map((one: [string, number, AirMark]) =>
    point(one, one[2] === 'assumed'),
  );
  const last_ms = Math.max(...told.map((one) => one.at_ms), 0);
  const ahead = place.expected.map((one) => point(one, true)).filter((one) => one.at_ms > last_ms);
  return [...told, ...ahead].sort((one, other) => one.at_ms - other.at_ms);
}

/** Only what lies inside, with the line drawn to both edges. */
export function clip(air: readonly AirPoint[], from_ms: number, to_ms: number): AirPoint[] {
  const inside = air.filter((one) => one.at_ms > from_ms && one.at_ms < to_ms);
  const edges = [from_ms, to_ms].flatMap((edge_ms) => at(air, edge_ms));
  return [...inside, ...edges].sort((one, other) => one.at_ms - other.at_ms);
}

function at(air: readonly AirPoint[], ms: number): AirPoint[] {
  const next = air.findIndex((one) => one.at_ms >= ms);
  const [one, two] = [air[next - 1], air[next]];
  if (!one || !two) return [];
  const part = (ms - one.at_ms) / (two.at_ms - one.at_ms || 1);
  return [
    { at_ms: ms, temp_c: one.temp_c + (two.temp_c - one.temp_c) * part, assumed: two.assumed },
  ];
}
