/** What has been chosen for a start: kept while the maker goes off to number pieces or add a bottle. */
import { computed, signal, type ReadonlySignal, type Signal } from '@preact/signals';
import { view } from './shop';
import type { Material, Piece, Place } from './view';

export interface Picked {
  material_id: Signal<string>;
  /** The bottle or can it is taken from, where one was chosen. */
  container_id: Signal<string>;
  place_id: Signal<string>;
  piece_ids: Signal<ReadonlySet<string>>;
  material: ReadonlySignal<Material | undefined>;
  /** The only place there is needs no choosing. */
  place: ReadonlySignal<Place | undefined>;
  pieces: ReadonlySignal<Piece[]>;
}

export function picked(): Picked {
  const material_id = signal('');
  const container_id = signal('');
  const place_id = signal('');
  const piece_ids = signal<ReadonlySet<string>>(new Set());
  const places = computed(() => view.value?.places ?? []);
  return {
    material_id,
    container_id,
    place_id,
    piece_ids,
    material: computed(() => view.value?.materials.find((one) => one.id === material_id.value)),
    place: computed(
      () =>
        places.value.find((one) => one.id === place_id.value) ??
        (places.value.length === 1 ? places.value[0] : undefined),
    ),
    pieces: computed(() => (view.value?.pieces ?? []).filter((one) => piece_ids.value.has(one.id))),
  };
}
