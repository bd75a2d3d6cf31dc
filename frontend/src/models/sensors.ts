/** Sensors, what is doubted of them, and the broker, as the server tells; asked for when looked at. */
import { signal } from '@preact/signals';
import type { Instant, Thing } from './view';

export interface Topic {
  topic: string;
  temp_field: string;
  rh_field: string;
  at_field: string;
  fahrenheit: boolean;
  status_topic: string;
  gone_word: string;
}

export interface Sensor extends Thing {
  place: Thing;
  rhythm_s: number;
  has_token: boolean;
  believed: boolean;
  last: { at: Instant; temp_c: number; rh_pct: number | null; doubt: string } | null;
  silent_since: Instant | null;
  gone_at: Instant | null;
  offset_k: number;
  offset_rh_pct: number;
  topic: Topic | null;
  faults: { kind: string; count: number; last_at: Instant; sample: string }[];
  doubted: number;
}

export interface Broker {
  host: string;
  port: number;
  tls: boolean;
  username: string;
  has_password: boolean;
  state: string;
  why: string;
  state_at: Instant | null;
}

export interface PlaceTold extends Thing {
  believed: Thing | null;
  half_gap_h: number;
  half_gap_from: string;
  nights: number;
  outside_low_c: number | null;
}

export interface SensorsTold {
  now: Instant;
  places: PlaceTold[];
  sensors: Sensor[];
  broker: Broker | null;
}

export interface Stretch {
  sensor: Thing;
  place: Thing;
  since: Instant;
  until: Instant;
  count: number;
  doubt: string;
  side: string;
  lowest_c: number;
  highest_c: number;
  right: boolean | null;
}

export const sensors = signal<SensorsTold | undefined>(undefined);
export const doubted = signal<Stretch[] | undefined>(undefined);

/** A sensor that was just put up, and the token that is shown this once. */
export interface Keyed {
  sensor: Thing;
  token: string;
}
