/** The shapes the server speaks in: everything a phone keeps to be useful without a signal. */
import type { Learned } from './learned';

export type Instant = string;
export type Mark = 'measured' | 'minmax' | 'typed' | 'assumed';

export interface Thing {
  id: string;
  name: string;
}

export interface Reading {
  at: Instant;
  temp_c: number;
  rh_pct: number | null;
  mark: Mark;
  age_s: number;
}

export interface Place extends Thing {
  reading: Reading | null;
  expected: [Instant, number, number | null][];
  recent: [Instant, number, Mark][];
}

export interface LabelGate {
  kind: string;
  hours: number;
  by_wall: boolean;
  upper_hours: number | null;
  read: boolean;
}

export interface Label {
  id: string;
  read: boolean;
  container: string;
  read_by: string | null;
  since: Instant;
  gates: LabelGate[];
  cautions: string[];
  min_c: number | null;
  max_rh_pct: number | null;
  pot_mass_g?: number | null; // not in a view that an earlier server told
}

export interface Material extends Thing {
  family: string;
  role: string;
  label: Label;
  learned?: Learned[]; // not in a view that an earlier server told
}

export interface Zone extends Thing {
  keep_bare: boolean;
  coats: number;
}

export interface Piece {
  id: string;
  tag: string;
  what: string;
  batch: string | null;
  zones: Zone[];
  suspect: string | null;
  joints_declared: boolean;
}

export interface Span {
  first: Instant | null;
  last: Instant | null;
}

/**
 * A gate of a group: `acts` is not before for one that opens, not after for one that closes. An
 * empty figure is out of reach, or long past where the state says so.
 */
export interface Gate {
  kind: string;
  opens: boolean;
  hurts: boolean;
  over: boolean;
  state: string;
  bare: Instant | null;
  check_from: Instant | null;
  acts: Span;
  sure: Instant | null;
  warn: Instant | null;
  between: boolean;
}

export interface Suspicion {
  cause: string;
  at: Instant;
  temp_c: number | null;
  banked_h: number | null;
  need_h: number | null;
  pieces: string[];
}

/** What the expected air will do: cause is cold or asleep. */
export interface Foretold {
  cause: string;
  at: Instant;
  latest_good: Instant | null;
}

export type GroupState =
  'spreading' | 'closed' | 'pressed' | 'resting' | 'coating' | 'paused' | 'drying' | 'held';

export interface Group {
  id: string;
  kind: 'glue_up' | 'coat' | 'hold';
  name: string;
  material: Thing & { label: string };
  place: Thing;
  pieces: { id: string; tag: string }[];
  began_at: Instant;
  state: GroupState;
  gates: Gate[];
  suspect: Suspicion[];
  foretold: Foretold[];
  unsure: string[];
  /** Shown from this phone's own taps and the offset table; the server has not spoken yet. */
  provisional?: boolean;
  /** Told on this phone only: a bend, which clamps must hold longer; rags not answered for. */
  stressed?: boolean;
  rags?: boolean;
}

export interface Line {
  act: string;
  group: string | null;
  name: string;
  pieces: string[];
  place: string;
  place_id: string | null;
  at: Instant | null;
  until: Instant | null;
  forbidden: { kind: string; until: Instant | null } | null;
  reason: string;
  cautions: string[];
  provisional?: boolean;
}

export interface NowList {
  soon: Line[];
  may: Line[];
  wrong: Line[];
  not_yet: Line[];
}

export interface Offsets {
  label: string;
  place: string;
  starts: Instant[];
  gates: Record<string, (number | null)[]>;
  /** For each start, whether cold would spoil it before it has set. */
  spoils: boolean[];
  foretold: Foretold[];
}

export interface Hold {
  id: string;
  piece: string;
  what: string;
  off_before: string;
}

export interface Conflict {
  id: string;
  kind: string;
  about: string;
  first: string;
  second: string | null;
  events: { id: string; kind: string; at: Instant; person: string; phone: string }[];
}

export interface Me {
  person: Thing;
  role: 'owner' | 'helper' | 'viewer';
  phone: Thing;
}

export interface Workshop extends Thing {
  zone: string;
  home_time: string;
  hours?: Record<string, string[]>;
}

export interface View {
  now: Instant;
  version: string;
  me: Me;
  workshop: Workshop;
  places: Place[];
  materials: Material[];
  pieces: Piece[];
  batches: (Thing & { promised: string | null })[];
  groups: Group[];
  now_list: NowList;
  holds: Hold[];
  conflicts: Conflict[];
  offsets: Offsets[];
}
