/** Where numbers get lost: asked at the tap itself, with or without a signal, until it is answered. */
import { signal } from '@preact/signals';
import type { Said } from '../store/tap';
import type { View } from './view';

export const WHERE = ['piece', 'tenon', 'inside', 'hook_tag'] as const;

export interface Handover {
  moment: 'sawn' | 'glued' | 'parted_off' | 'hung';
  pieces: { id: string; tag: string }[];
}

/** The last hand-over that this phone told of and nobody has answered here. */
export const handed = signal<Handover | undefined>(undefined);

/** Looked at before the tap is laid over the view: afterwards a hold is off it already. */
export function handoverOf(verb: string, said: Said, view: View | undefined): Handover | undefined {
  if (verb === 'pieces_made') return made(said.pieces as Made[]);
  if (verb === 'hold_off') {
    const hold = view?.holds.find((one) => one.id === said.hold);
    return hold && moment('parted_off', view, new Set([hold.piece]));
  }
  if (verb !== 'coat_began') return undefined;
  const zones = new Set(said.zones as string[]);
  const hung = view?.pieces.filter((one) => one.zones.some((zone) => zones.has(zone.id))) ?? [];
  return moment('hung', view, new Set(hung.map((one) => one.id)));
}

export function noteTold(verb: string, said: Said, found: Handover | undefined): void {
  if (found) handed.value = found;
  if (verb === 'struck_out') handed.value = undefined;
  if (verb !== 'number_moved') return;
  const answered = new Set(said.pieces as string[]);
  if (handed.peek()?.pieces.every((one) => answered.has(one.id))) handed.value = undefined;
}

interface Made {
  id: string;
  tag: string;
  made_from?: string[];
}

function made(all: readonly Made[]): Handover | undefined {
  const pieces = all.filter((one) => one.made_from?.length);
  if (!pieces.length) return undefined;
  const several = pieces.some((one) => one.made_from!.length > 1);
  return {
    moment: several ? 'glued' : 'sawn',
    pieces: pieces.map(({ id, tag }) => ({ id, tag })),
  };
}

function moment(
  name: Handover['moment'],
  view: View | undefined,
  ids: ReadonlySet<string>,
): Handover | undefined {
  const pieces = view?.pieces.filter((one) => ids.has(one.id)) ?? [];
  return pieces.length ? { moment: name, pieces } : undefined;
}
