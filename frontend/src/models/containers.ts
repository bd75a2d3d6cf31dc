/** Bottles, cans and pots as the server tells of them, with this phone's own taps laid over. */
import { signal } from '@preact/signals';
import type { Tap } from '../store/tap';
import { inShopTime } from './clock';
import { pending } from './fold';
import type { Instant } from './view';

export interface Container {
  id: string;
  material: string;
  name: string;
  opened_at: Instant | null;
  open_days: number | null;
  age_days: number;
  keeps_days: number | null;
  keeps_open_days: number | null;
  frozen_at: Instant | null;
  expires: string | null;
  tested_at: Instant | null;
  passed: boolean | null;
  test_due_at: Instant | null;
  left_g: number | null;
  holds_g: number | null;
  in_use: boolean;
  odd: string[];
}

export interface Shelf {
  now: Instant;
  containers: Container[];
}

export const shelf = signal<Shelf | undefined>(undefined);

/** What stands on the shelf, as far as this phone knows. */
export function onShelf(told: Shelf, taps: readonly Tap[]): Container[] {
  return pending(taps, told.now).reduce(
    (all, { verb, said, at }) =>
      verb === 'container_taken_in'
        ? [...all.filter((one) => one.id !== said.container), takenIn(said)]
        : all.map((one) => (one.id === said.container ? changed(one, verb, said, inShopTime(at)) : one)),
    told.containers,
  );
}

function takenIn(said: Tap['said']): Container {
  const holds_g = typeof said.holds_g === 'number' ? said.holds_g : null;
  return {
    id: String(said.container),
    material: String(said.material),
    name: String(said.name),
    opened_at: null,
    open_days: null,
    age_days: 0,
    keeps_days: null,
    keeps_open_days: null,
    frozen_at: null,
    expires: typeof said.expires === 'string' ? said.expires : null,
    tested_at: null,
    passed: null,
    test_due_at: null,
    left_g: holds_g,
    holds_g,
    in_use: false,
    odd: [],
  };
}

/** Those that glue or finish is taken from: opened, and not empty; the last opened first. */
export function started(all: readonly Container[], material: string): Container[] {
  return all
    .filter((one) => one.material === material && one.opened_at && one.left_g !== 0)
    .sort((one, other) => other.opened_at!.localeCompare(one.opened_at!));
}

/** Frost is told against it at once; that it is good again is the server's to say. */
function changed(one: Container, verb: string, said: Tap['said'], at: Instant): Container {
  if (verb === 'container_opened')
    return { ...one, opened_at: one.opened_at ?? at, open_days: one.open_days ?? 0 };
  if (verb === 'container_frozen')
    return { ...one, frozen_at: at, odd: withOdd(one.odd, 'frozen') };
  if (verb === 'container_tested')
    return {
      ...one,
      tested_at: at,
      passed: said.passed === true,
      odd: said.passed ? one.odd : withOdd(one.odd, 'failed'),
    };
  if (verb !== 'container_left') return one;
  const left_g = Number(said.left_g);
  const others = one.odd.filter((key) => key !== 'empty');
  return { ...one, left_g, odd: left_g === 0 ? withOdd(others, 'empty') : others };
}

function withOdd(odd: readonly string[], key: string): string[] {
  return odd.includes(key) ? [...odd] : [...odd, key];
}
