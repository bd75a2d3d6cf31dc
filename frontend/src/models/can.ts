/** Every act a maker asks for, and the server's answers to them, for one piece. */
import { signal } from '@preact/signals';
import type { Answer } from './may';
import type { Piece } from './view';

export type Act = (typeof ACTS)[number];
export type ActAnswer = Answer & { act: Act };
export type Reason = Answer['reasons'][number];

/** In the order of the work; the lathe first, for it is asked the most and hurts the most. */
export const ACTS = [
  'spin',
  'light',
  'heavy',
  'sand_glue_line',
  'final_surfacing',
  'coat',
  'scuff',
  'hang',
  'turn_over',
  'wrap',
  'service',
  'wet_use',
  'use',
] as const;
const OF_ONE_ZONE = new Set<Act>(['coat', 'scuff', 'hang']);
/** An answer that rests on nothing but these says nothing a maker could use. */
const EMPTY = new Set(['no_such_zone', 'label_says_nothing', 'not_offered', 'no_film']);

/** The act asked for last: who goes along a shelf asks the same of each piece. */
export const asked = signal<Act>('spin');

/** What is worth showing; the act that was asked for always is. */
export function worthShowing(answers: readonly ActAnswer[], act: Act): ActAnswer[] {
  const order = (one: ActAnswer) => ACTS.indexOf(one.act);
  return answers
    .filter((one) => ACTS.includes(one.act))
    .filter((one) => one.act === act || one.reasons.some((reason) => !EMPTY.has(reason.key)))
    .sort((one, other) => order(one) - order(other));
}

/** Zones that can be asked for by themselves, where there is a choice. */
export function zonesAsked(piece: Piece, act: Act): Piece['zones'] {
  return OF_ONE_ZONE.has(act) && piece.zones.length > 1 ? piece.zones : [];
}

export interface ReasonGroup {
  key: string;
  at: string | null;
  names: string[];
}

/** Reasons that say the same of several joints, together; the latest time counts for all. */
export function together(reasons: readonly Reason[]): ReasonGroup[] {
  const found = new Map<string, ReasonGroup>();
  for (const { key, name, at } of reasons) {
    const told = key === 'short' && at === null ? 'short_ever' : key;
    const same = found.get(told) ?? { key: told, at: null, names: [] };
    if (name && !same.names.includes(name)) same.names.push(name);
    same.at = at && (!same.at || at > same.at) ? at : same.at;
    found.set(told, same);
  }
  return [...found.values()];
}

/** Whether entering a temperature would help. */
export function wantsReading(answer: Answer): boolean {
  return answer.reasons.some(({ key }) => key === 'no_recent_reading' || key === 'short_history');
}
