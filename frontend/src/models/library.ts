/** The kinds of glue and finish there are, fetched once and kept. */
import { signal } from '@preact/signals';
import { pullKept } from '../sync/pull';

export interface Family {
  key: string;
  name: string;
  role: string;
}

export interface Library {
  families: Family[];
}

export const library = signal<Library | undefined>(undefined);
export const libraryMissing = signal(false);

export async function needLibrary(): Promise<void> {
  if (library.peek()) return;
  try {
    library.value = await pullKept<Library>('library', '/api/library');
    libraryMissing.value = false;
  } catch {
    libraryMissing.value = true;
  }
}
