/** A logger's file on its way in: how it would be read, what a person must say, how far it is. */
import type { Instant, Thing } from './view';

export interface Shape {
  separator: string;
  decimal: string;
  first_row: number;
  at: number;
  temp: number;
  order: string;
  zone: string;
  clock: number | null;
  rh: number | null;
  fahrenheit: boolean;
  repeated: string;
  newest_first: boolean;
  step_s: number;
}

export interface Fault {
  row: number;
  field: string;
  wrong: string;
  mend: string;
}

export interface LoggerFile {
  id: string;
  name: string;
  sensor: Thing;
  size: number;
  byte: number;
  row: number;
  kept: number;
  known: number;
  refused: number;
  faults: Fault[];
  shape: Shape | null;
  done_at: Instant | null;
}

export interface Look {
  file: LoggerFile;
  shape: Shape;
  columns: string[];
  why: Record<string, string>;
  asked: string[];
  lines: string[];
  rows: number;
  bad: number;
  first: { row: number; at: Instant; temp_c: number; rh_pct: number | null }[];
  faults: Fault[];
  first_at: Instant | null;
  last_at: Instant | null;
}

export const SEPARATORS = [';', ',', '\t', '|'] as const;
export const ORDERS = ['ymd', 'dmy', 'mdy', 'epoch'] as const;
export const REPEATED = ['first', 'second', 'derived'] as const;

/** What still has to be said by a person before anything may be taken in. */
export function unsaid(look: Look, said: ReadonlySet<string>): string[] {
  return look.asked.filter((name) => !said.has(name));
}

/** Names of the columns; where the file has none they are counted. */
export function columnsOf(look: Look, numbered: (at: number) => string): string[] {
  const cells = (look.lines[0] ?? '').split(look.shape.separator);
  const many = Math.max(look.columns.length, cells.length);
  return Array.from({ length: many }, (_, at) => look.columns[at] || numbered(at + 1));
}

/** Whole per cent of the file, never all of it before it is. */
export function progress({ byte, size, done_at }: LoggerFile): number {
  return done_at ? 100 : Math.min(99, Math.floor((byte / Math.max(1, size)) * 100));
}
