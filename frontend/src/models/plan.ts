/** The plan as the server last told it, kept for when there is no signal. */
import { signal } from '@preact/signals';
import { keep, kept } from '../store/kept';
import { get } from '../sync/ask';
import type { Instant, Thing } from './view';

export interface Act {
  batch: Thing;
  step: string;
  first: number;
  pieces: number;
  starts: Instant;
  hands_free: Instant;
  ends: Instant;
  people: string[];
  machine: string;
  begun: boolean;
  late: boolean;
  rules: boolean;
  ask?: boolean; // not in a plan that an earlier server told
  why: { key: string; name: string; at: Instant | null };
}

export interface Present {
  from: Instant;
  to: Instant;
}

export interface PersonPlan {
  person: Thing;
  day: string | null;
  now: number | null;
  today: Act[];
  before_home: number[];
  idle: Present[];
  there: Present[];
}

export interface Cure extends Present {
  batch: Thing;
  step: string;
  gate: string;
  pieces: number;
  /** Of a joint: whether its wood counts as it follows the air, or as the air since nobody said. */
  wood?: string; // not in a plan that an earlier server told
  lag_h?: number;
}

export interface Ruling extends Present {
  ruler: string;
  name: string;
  step: string;
}

export interface Dates {
  batch: Thing;
  count: number;
  promised: string | null;
  planned: Instant;
  likely: Instant;
  safe: Instant;
  kept: string;
  by_promise: number | null;
  rules: Ruling;
}

export interface Clash {
  clash: string;
  says: string;
}

export interface UnderWay {
  go: string;
  batch: Thing;
  step: string;
  pieces: number;
  people: string[];
  began: Instant;
}

export interface Minutes {
  batch: Thing;
  step: string;
  planned_min: number;
  actual_min: number | null;
  times: number;
}

export interface Plan {
  now: Instant;
  made_at: Instant | null;
  stale: boolean;
  aim: string;
  gap: number;
  proven: boolean;
  trouble: string;
  conflicts: Clash[];
  given_up: Clash[];
  batches: Dates[];
  people: PersonPlan[];
  acts: Act[];
  waits: Cure[];
  under_way: UnderWay[];
  minutes: Minutes[];
}

export interface Change {
  kind: string;
  name: string;
  batch: string;
  step: string;
  count: number | null;
  day: string | null;
}

export interface WhatIf {
  change: Change;
  sooner_h: number | null;
  batches: { batch: Thing; planned: Instant; sooner_h: number; by_promise: number | null }[];
  impossible: string[];
}

export interface ByDay {
  batch: Thing;
  day: string;
  count: number;
  kept: string;
  likely: Instant;
  safe: Instant;
  done_likely: number;
  done_safe: number;
  rules: Ruling;
  better: { change: Change; done: number }[];
}

const KEY = 'plan';
export const plan = signal<Plan | undefined>(undefined);
export const whatIf = signal<WhatIf[]>([]);

function isPlan(value: unknown): value is Plan {
  return typeof value === 'object' && value !== null && 'under_way' in value && 'acts' in value;
}

/** Ask for it; without a signal what was heard last stands. Whether it was heard. */
export async function pullPlan(): Promise<boolean> {
  plan.value ??= await kept(KEY, isPlan);
  try {
    plan.value = await get<Plan>('/api/plan');
    await keep(KEY, plan.value);
    return true;
  } catch {
    return false;
  }
}

export async function pullWhatIf(): Promise<void> {
  whatIf.value = (await get<{ rows: WhatIf[] }>('/api/plan/what-if')).rows;
}

export function askDay(batch: string, day: string): Promise<ByDay> {
  return get<ByDay>(`/api/plan/by-day?batch=${batch}&day=${day}`);
}

/** How much cures at a time: the pieces waiting, from step to step of a staircase. */
export function tide(waits: readonly Cure[], from_ms: number, to_ms: number): [number, number][] {
  const changes = new Map<number, number>([[from_ms, 0]]);
  const add = (at_ms: number, pieces: number) => {
    const inside = Math.min(Math.max(at_ms, from_ms), to_ms);
    changes.set(inside, (changes.get(inside) ?? 0) + pieces);
  };
  for (const wait of waits) {
    add(Date.parse(wait.from), wait.pieces);
    add(Date.parse(wait.to), -wait.pieces);
  }
  let height = 0;
  return [...changes]
    .sort(([one], [other]) => one - other)
    .map(([at_ms, pieces]) => [at_ms, (height += pieces)]);
}

/** What an act leaves waiting whose wood changes the figure: it lags, or nobody said how thick it is. */
export function woodAfter(told: Plan, { batch, step }: Act): Cure | undefined {
  return told.waits.find(
    (wait) =>
      wait.batch.id === batch.id &&
      wait.step === step &&
      (wait.wood === 'unknown' || (wait.wood === 'lags' && (wait.lag_h ?? 0) > 0)),
  );
}

/** Acts of a machine, or of a pair of hands. */
export function actsOf(told: Plan, who: { person?: string; machine?: string }): Act[] {
  return told.acts.filter((act) =>
    who.person ? act.people.includes(who.person) : act.machine === who.machine,
  );
}

export function machines(told: Plan): string[] {
  return [...new Set(told.acts.map((act) => act.machine).filter((name) => name))].sort();
}

/** What is under way in these hands, and the next act that is not begun. */
export function nowFor(told: Plan, own: PersonPlan): { at: UnderWay[]; next: Act | undefined } {
  const at = told.under_way.filter((one) => one.people.includes(own.person.id));
  const next = own.today.find((act) => !act.begun);
  return { at, next };
}
