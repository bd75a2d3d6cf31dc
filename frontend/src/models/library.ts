/** The kinds of glue and finish there are, fetched once and kept. */
import { signal } from '@preact/signals';
import { keptCopy, pullKept } from '../sync/pull';
import type { LabelGate } from './view';

interface Figure {
  value: number | null;
}

export interface Family {
  key: string;
  name: string;
  role: string;
  gates: LabelGate[];
  cautions: string[];
  min_c: Figure | null;
  max_rh_pct?: Figure | null;
}

export interface Library {
  families: Family[];
  woods?: { key: string; name: string }[]; // not in what an earlier server told
}

const KEY = 'library';
export const library = signal<Library | undefined>(undefined);
export const libraryMissing = signal(false);

/** From the server, else as it was kept: for screens that choose from it. */
export async function needLibrary(): Promise<void> {
  if (library.peek()) return;
  try {
    library.value = await pullKept<Library>(KEY, '/api/library');
    libraryMissing.value = false;
  } catch {
    libraryMissing.value = true;
  }
}

/** As it was kept: a bottle taken in without a signal is still known by its kind after a reload. */
export async function recallLibrary(): Promise<void> {
  const copy = await keptCopy<Library>(KEY);
  if (copy && !library.peek()) library.value = copy;
}

export function familyOf(key: string): Family | undefined {
  return library.value?.families.find((one) => one.key === key);
}
