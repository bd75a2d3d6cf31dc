/** What the phone keeps of the server's word: the view, the groups looked at, the library. */
import { database, failed } from './database';

/** A kept value, or undefined if there is none or it cannot be read. */
export async function kept<T>(
  key: string,
  looksRight: (value: unknown) => value is T,
): Promise<T | undefined> {
  const db = await database();
  const value = await db.get('kept', key);
  return looksRight(value) ? value : undefined;
}

export async function keep(key: string, value: unknown): Promise<void> {
  try {
    const db = await database();
    await db.put('kept', value, key);
  } catch (cause) {
    throw failed(cause);
  }
}

/** Drop what can be fetched again, to make room for taps; the view stays. */
export async function dropFetched(): Promise<void> {
  const db = await database();
  const write = db.transaction('kept', 'readwrite');
  for (const key of await write.store.getAllKeys()) {
    if (key.startsWith('group:') || key.startsWith('piece:')) await write.store.delete(key);
  }
  await write.done;
}

export async function forgetAll(): Promise<void> {
  const db = await database();
  await db.clear('kept');
}
