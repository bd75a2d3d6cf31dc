/** An empty store for each test, as a phone has that was never used. */
import 'fake-indexeddb/auto';
import { deleteDB } from 'idb';
import { close, NAME } from '../src/store/database';

export async function freshStore(): Promise<void> {
  await close();
  await deleteDB(NAME);
}

/** The page dies and is opened again: what was on disk is all there is. */
export async function restart(): Promise<void> {
  await close();
}
