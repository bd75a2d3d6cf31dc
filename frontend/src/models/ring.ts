/** Will it ring? What the server says of each way, and what can be read from that. */
import { signal } from '@preact/signals';
import type { Instant } from './view';

export interface Way {
  id: string;
  person: string;
  phone: string;
  kind: string;
  tested_at: Instant | null;
  state: string;
  shown_at: Instant | null;
  seen_at: Instant | null;
  heard_at: Instant | null;
  dead_since: Instant | null;
  dead_why: string;
}

export interface Minder {
  person: string;
  name: string;
  minds: string;
  held_until: Instant | null;
  quiet_from?: string | null; // not from an earlier server
  quiet_until?: string | null;
}

export interface Ring {
  now: Instant;
  push_key: string;
  well: boolean;
  newest: Instant | null;
  holding: string;
  late_s: number;
  ways: Way[];
  silent: { phone: string; name: string; person: string; seen_at: Instant | null }[];
  minders: Minder[];
}

export const ring = signal<Ring | undefined>(undefined);

/** heard: somebody touched it. shown: the phone says so. taken: the service in between has it. */
export type Heard = 'dead' | 'never' | 'heard' | 'shown' | 'taken' | 'waiting' | 'lost';

/** Where nobody but the phone can say that it was shown. */
const REPORTS = new Set(['webpush']);
const LOST = new Set(['dead', 'expired', 'superseded']);

export function heardOf(way: Way): Heard {
  if (way.dead_since) return 'dead';
  if (!way.tested_at) return 'never';
  if (way.seen_at) return 'heard';
  if (way.shown_at) return 'shown';
  if (LOST.has(way.state)) return 'lost';
  return way.state === 'sent' ? 'taken' : 'waiting';
}

/** Whether more can be expected of a test: a mailbox never says that it was looked into. */
export function mayStillSay(way: Way): boolean {
  const heard = heardOf(way);
  return heard === 'waiting' || (heard === 'taken' && REPORTS.has(way.kind));
}
