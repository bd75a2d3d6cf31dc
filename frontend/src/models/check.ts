/** What is asked of the server before a start, and how it answers. Nothing is recorded by asking. */
import { signal } from '@preact/signals';
import { post } from '../sync/ask';
import { instantOf } from '../words/times';
import { shopTime } from './clock';
import type { Instant } from './view';

const HOUR_MS = 3_600_000;
/** As far as it was typed. */
export type Figures = Record<string, number | undefined>;

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
export const hands = signal<Figures>({});
export const shape = signal<{ kind: string; figures: Figures }>({
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

/** What is known of the wood, and of the press: figures by name, the kinds of wood, where it lay. */
export const wood = signal<Figures>({});
export const woods = signal<ReadonlySet<string>>(new Set());
export const from_place = signal('');
/** When its faces were cut, as hours before it was said; an instant, so that it does not wander. */
export const cut = signal<Said>({ h: '', at: '' });
interface Said {
  h: string;
  at: string;
}

/** So many hours from now, or before now. */
export function hoursFrom(h: string, sign: 1 | -1): Said {
  return { h, at: new Date(shopTime() + sign * Number(h) * HOUR_MS).toISOString() };
}

export const CUT_H = [1, 4, 24, 72];
export const WOOD = [
  'thickness_mm',
  'density_kg_m3',
  'moisture_pct',
  'other_pct',
  'home_pct',
  'temp_c',
] as const;
export const PRESS = ['outer_mm', 'caul_mm', 'per_stack', 'spread_g_m2', 'mix_g'] as const;
function woodDescribed(): Record<string, unknown> {
  const { moisture_pct, other_pct, thickness_mm, density_kg_m3, home_pct, temp_c } = wood.value;
  const moistures_pct = [moisture_pct, other_pct].filter((one) => one !== undefined);
  return {
    ...(woods.value.size > 0 && { woods: [...woods.value] }),
    ...(moistures_pct.length > 0 && { moistures_pct }),
    ...(thickness_mm !== undefined && { thickness_mm }),
    ...(density_kg_m3 !== undefined && { density_kg_m3 }),
    ...(home_pct !== undefined && { home_pct }),
    ...(temp_c !== undefined && { temp_c }),
    ...(from_place.value && { from_place: from_place.value }),
    ...(cut.value.at && { cut_at: cut.value.at }),
  };
}

/** What is told of a coat: figures by name, and until when it is wanted. */
export const coat = signal<Figures>({});
export const due = signal('');
export const sanding = signal<Said>({ h: '', at: '' });
export const SANDING_H = [1, 2, 4, 8];
export const COAT = [
  'area_m2',
  'coats',
  'coverage_m2_l',
  'minutes',
  'thickness_mm',
  'wood_c',
] as const;

/** The coat as far as it was told: the areas are those of so many pieces. */
export function coatDescribed(pieces: number): Record<string, unknown> {
  const { area_m2, coats = 1, minutes, ...figures } = coat.value;
  const due_ms = instantOf(due.value);
  return {
    ...figures,
    coats,
    ...(area_m2 && pieces > 0 && { areas: [{ area_m2, pieces, coats }] }),
    ...(minutes && { minutes }),
    ...(minutes && due_ms !== undefined && { due: new Date(due_ms).toISOString() }),
    ...(sanding.value.at && { sanding_at: sanding.value.at }),
  };
}

/** The shape and the dry run as far as they are whole; a half-told one is not sent. */
export function described(): Record<string, unknown> {
  const { kind, figures } = shape.value;
  const { spread_g_m2, mix_g, outer_mm, caul_mm, per_stack } = wood.value;
  const of_wood = woodDescribed();
  const press = {
    ...(outer_mm !== undefined && { outer_mm }),
    ...(caul_mm !== undefined && { caul_mm }),
    ...(per_stack !== undefined && { per_stack }),
  };
  const whole = kind && SHAPES[kind]!.every((name) => figures[name]! > 0);
  return {
    ...(whole && { shape: { kind, ...figures } }),
    ...(hands.value.spread_s && { hands: hands.value }),
    ...(Object.keys(of_wood).length > 0 && { wood: of_wood }),
    ...(Object.keys(press).length > 0 && { press }),
    ...(spread_g_m2 !== undefined && { spread_g_m2 }),
    ...(mix_g !== undefined && { mix_g }),
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
