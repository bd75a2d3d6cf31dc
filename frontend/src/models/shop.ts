/** The shop as this phone knows it: the server's view, this phone's taps, and what is shown. */
import { batch, computed, signal } from '@preact/signals';
import type { KeptPicture, StoreFailed } from '../store/database';
import type { Said, Tap } from '../store/tap';
import type { Failure } from '../sync/ask';
import { minute } from './clock';
import { fold } from './fold';
import { nowList, NOTHING } from './lines';
import { inOrder } from './tags';
import type { Group, Material, Piece, Place, View } from './view';

export const served = signal<View | undefined>(undefined);
export const taps = signal<Tap[]>([]);
/** Pictures that the server does not have yet. */
export const pictures = signal<KeptPicture[]>([]);
/** Why the server could not be had at the last try; undefined when it could. */
export const trouble = signal<Failure | undefined>(undefined);
/** Why the phone's own store cannot be used. */
export const storeTrouble = signal<StoreFailed['reason'] | undefined>(undefined);
/** A tap that could not be kept, so that the maker can write it down. */
export const notKept = signal<{ verb: string; said: Said } | undefined>(undefined);
/** Until the store has been read there is nothing to say. */
export const ready = signal(false);

export const view = computed(() => served.value && fold(served.value, taps.value));
export const list = computed(() => (view.value ? nowList(view.value, minute.value) : NOTHING));
export const unsent = computed(() => taps.value.filter((tap) => tap.state === 'kept'));
export const unsentPictures = computed(() => pictures.value.filter((one) => !one.problem));
export const refused = computed(() => taps.value.filter((tap) => tap.state === 'refused'));
export const mayRecord = computed(() => served.value?.me.role !== 'viewer');
export const isOwner = computed(() => served.value?.me.role === 'owner');

/** Sorted once, not at each look: most taps change no piece. */
const piecesShown = computed(() => view.value?.pieces);
export const piecesInOrder = computed(() => inOrder(piecesShown.value ?? []));

export const groupById = computed(() => byKey(view.value?.groups, (one) => one.id));
export const pieceById = computed(() => byKey(view.value?.pieces, (one) => one.id));
export const placeById = computed(() => byKey(view.value?.places, (one) => one.id));
export const materialByLabel = computed(() => byKey(view.value?.materials, (one) => one.label.id));

function byKey<T>(all: readonly T[] | undefined, key: (one: T) => string): ReadonlyMap<string, T> {
  return new Map((all ?? []).map((one) => [key(one), one]));
}

export function group(id: string): Group | undefined {
  return groupById.value.get(id);
}

export function piece(id: string): Piece | undefined {
  return pieceById.value.get(id);
}

export function place(id: string): Place | undefined {
  return placeById.value.get(id);
}

export function materialOfLabel(label: string): Material | undefined {
  return materialByLabel.value.get(label);
}

/** What was read from the store or heard from the server, all at once. */
export function show(told: { view?: View | undefined; taps?: Tap[] }): void {
  batch(() => {
    if (told.view) served.value = told.view;
    if (told.taps) taps.value = told.taps;
    ready.value = true;
  });
}
