/**
 * Figures for a wait the server has not heard of yet, read off its table of offsets by start
 * time. No cure is worked out here: between two starts of the table the finish is drawn straight.
 */
import type { Foretold, Gate, Instant, LabelGate, Material, Offsets } from './view';

const HOUR_MS = 3_600_000;
/** Until the server speaks these open later or never; the phone never says yes to them. */
export const HURTS = new Set(['spin', 'service', 'wet_use']);
/** Worked out by the server, and never shown as a gate. */
const SILENT = new Set(['keep_warm']);
export const CLOSES = new Set([
  'pot_life',
  'open_time',
  'total_assembly',
  'scrape_closes',
  'wipe_off',
  'recoat_closes',
  'tape_off',
  'remove_by',
]);

export interface Found {
  at: Instant | null;
  /** False where the table does not reach and the label's own figure stands in for it. */
  table: boolean;
}

/** When a gate's acting figure comes for a wait that starts now. */
export function finish(
  tables: readonly Offsets[],
  material: Material,
  place: string,
  kind: string,
  start: Instant,
): Found | undefined {
  const told = tablesOf(tables, material, place)
    .map((one) => readOff(one, kind, Date.parse(start)))
    .filter((at) => at !== undefined);
  if (told.length > 0) return { at: safest(kind, told), table: true };
  const gate = material.label.gates.find((one) => one.kind === kind);
  return gate && { at: iso(Date.parse(start) + labelHours(gate) * HOUR_MS), table: false };
}

/**
 * The tables of one label in one place: as the air, and for each thickness of wood that was
 * recorded with it. Which one it will be is not known before the server speaks.
 */
export function tablesOf(
  tables: readonly Offsets[],
  material: Material,
  place: string,
): readonly Offsets[] {
  return tables.filter((one) => one.label === material.label.id && one.place === place);
}

/** What closes does so at the first of them, what opens at the last, if ever. */
function safest(kind: string, told: readonly (Instant | null)[]): Instant | null {
  const known = told.filter((at) => at !== null).sort();
  if (CLOSES.has(kind)) return known[0] ?? null;
  return known.length < told.length ? null : known.at(-1)!;
}

/** What is foretold by several tables: of each cause the one that leaves the least time. */
export function soonest(tables: readonly Offsets[]): Foretold[] {
  const found = new Map<string, Foretold>();
  for (const one of tables.flatMap((table) => table.foretold)) {
    const known = found.get(one.cause);
    if (!known || (one.latest_good ?? '') < (known.latest_good ?? '')) found.set(one.cause, one);
  }
  return [...found.values()];
}

/** Null where the table says out of reach; undefined where it says nothing. */
function readOff(table: Offsets, kind: string, start_ms: number): Instant | null | undefined {
  const hours = table.gates[kind];
  const starts = table.starts.map((one) => Date.parse(one));
  if (!hours || !starts.length) return undefined;
  const next = starts.findIndex((one) => one >= start_ms);
  if (next < 0) return undefined;
  const before = Math.max(0, starts[next] === start_ms ? next : next - 1);
  const [one, two] = [hours[before], hours[next]];
  if (one === undefined || two === undefined) return undefined;
  if (one === null || two === null) return null;
  const [t1, t2] = [starts[before]!, starts[next]!];
  const part = t2 > t1 ? Math.max(0, (start_ms - t1) / (t2 - t1)) : 0;
  return iso(start_ms + (one + (two - one) * part) * HOUR_MS);
}

/** The label's own figure, at its long end for a gate that opens. */
function labelHours(gate: LabelGate): number {
  return CLOSES.has(gate.kind) ? gate.hours : Math.max(gate.hours, gate.upper_hours ?? 0);
}

/** The whole ladder of a wait that starts at one or over two instants. */
export function provisionalGates(
  tables: readonly Offsets[],
  material: Material,
  place: string,
  first: Instant,
  last: Instant,
  kinds: (kind: string) => boolean = () => true,
): Gate[] {
  return material.label.gates
    .filter((gate) => !SILENT.has(gate.kind) && kinds(gate.kind))
    .map((gate) =>
      provisionalGate(
        gate.kind,
        (start) => finish(tables, material, place, gate.kind, start)?.at ?? null,
        first,
        last,
      ),
    );
}

function provisionalGate(
  kind: string,
  finishes: (start: Instant) => Instant | null,
  first: Instant,
  last: Instant,
): Gate {
  const acts = { first: finishes(first), last: finishes(last) };
  const hurts = HURTS.has(kind);
  return {
    kind,
    opens: !CLOSES.has(kind),
    hurts,
    over: false,
    state: 'waiting',
    bare: null,
    check_from: null,
    acts,
    sure: hurts ? acts.last : null,
    warn: null,
    between: first !== last,
  };
}

function iso(ms: number): Instant {
  return new Date(ms).toISOString();
}
