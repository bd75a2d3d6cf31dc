/** What this shop has learned of a material, and every look behind it. */
import type { Instant, Thing } from './view';

export interface Learned {
  gate: string;
  place: Thing;
  coat_number: number;
  label_h: number;
  need_h: number;
  margin: number;
  checks: number;
  agreeing: number;
}

export interface Look {
  of: Thing;
  at: Instant;
  after_h: number | null;
  until_h: number | null;
}

export interface LearnedSum {
  label_h: number;
  need_h: number;
  margin: number;
  checks: number;
  agreeing: number;
  looks: Look[];
}
