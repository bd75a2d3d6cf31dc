/** What is asked of the server before a start, and how it answers. Nothing is recorded by asking. */
import { signal } from '@preact/signals';
import { post } from '../sync/ask';
import type { Instant } from './view';

export interface CheckLine {
  key: string;
  word: 'go' | 'care' | 'not_now' | 'note';
  says: string;
  sum: string[];
  at: Instant | null;
}

export interface Instead {
  what: string;
  name: string;
  word: string;
  says: string;
}

export interface TiedUp {
  thing: string;
  name: string;
  count: number;
}

export interface CheckTold {
  word: 'go' | 'care' | 'not_now';
  says: string;
  lines: CheckLine[];
  instead: Instead[];
  things: TiedUp[];
}

/** What a dry run took, and how one piece is glued: kept for the next time. */
export const hands = signal<Record<string, number>>({});
export const shape = signal<{ kind: string; figures: Record<string, number> }>({
  kind: '',
  figures: {},
});

/** The figures that each shape needs; the rest of its question is the server's. */
export const SHAPES: Record<string, readonly string[]> = {
  area: ['area_m2', 'lines'],
  face: ['boards', 'length_mm', 'width_mm'],
  stripe: ['strips', 'length_mm', 'thickness_mm', 'strip_mm'],
  ring: ['segments', 'outside_mm', 'inside_mm', 'thickness_mm'],
  annulus: ['outside_mm', 'inside_mm', 'lines'],
  block: ['across_mm'],
  bend: ['plies', 'ply_mm', 'length_mm', 'width_mm', 'radius_mm'],
};
export const HANDS = ['spread_s', 'place_s', 'tighten_s', 'spreaders'] as const;

/** The shape and the dry run as far as they are whole; a half-told one is not sent. */
export function described(): Record<string, unknown> {
  const { kind, figures } = shape.value;
  const whole = kind && SHAPES[kind]!.every((name) => figures[name]! > 0);
  return {
    ...(whole && { shape: { kind, ...figures } }),
    ...(hands.value.spread_s && { hands: hands.value }),
  };
}

export function askGlueUp(body: Record<string, unknown>): Promise<CheckTold> {
  return post<CheckTold>('/api/check/glue-up', body);
}

export function askCoat(body: Record<string, unknown>): Promise<CheckTold> {
  return post<CheckTold>('/api/check/coat', body);
}

/** What it ties up, as a start says it. */
export function things(told: CheckTold | undefined): { thing: string; count: number }[] {
  return (told?.things ?? []).map(({ thing, count }) => ({ thing, count }));
}
