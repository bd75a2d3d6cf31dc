/** The sum behind a gate, as the server lays it out. */
import type { LearnedSum } from './learned';
import type { Instant } from './view';

export interface SumLeg {
  place: string;
  from: Instant;
  to: Instant;
  hours: number;
  mark: string;
  temp_from: number;
  temp_to: number;
  rh_from: number | null;
  rh_to: number | null;
  rate_mean: number;
  banked_h: number;
  sum_h: number;
}

export interface WoodSum {
  thickness_mm: number | null;
  lag_h: number;
  own_h: number | null;
  came_at: Instant | null;
  came_c: number | null;
  by_air: Instant | null;
}

export interface Sum {
  why_id: string;
  kind: string;
  opens: boolean;
  hurts: boolean;
  since: Instant;
  label: {
    value_h: number;
    upper_h: number;
    by_wall: boolean;
    typical: boolean;
    read_by: string | null;
    container: string;
    read_at: Instant;
    material: string;
  };
  rule: {
    kind: string;
    q: number;
    label_temp_c: number;
    label_rh_pct: number;
    sleep_below_c: number | null;
    rows: [number, number][];
    states_rule: boolean;
  };
  learned?: LearnedSum | null;
  factors: { name: string; value: number }[];
  need_h: number;
  legs: SumLeg[];
  sum_h: number;
  remaining_h: number;
  margin: number;
  sure_need_h: number | null;
  wood: WoodSum | null;
  figures: Record<
    'bare' | 'check_from' | 'not_before' | 'not_after' | 'warn' | 'sure',
    Instant | null
  >;
}

export interface OneGroup {
  waits: { id: string; name: string; why: Sum[] }[];
}
