/** Pictures on this phone until the server has them; kept apart, so that no tap waits for one. */
import { database, failed, type KeptPicture } from './database';

export async function keepPicture(picture: KeptPicture): Promise<void> {
  try {
    const db = await database();
    await db.put('pictures', picture);
  } catch (cause) {
    throw failed(cause);
  }
}

/** Oldest first. */
export async function allPictures(): Promise<KeptPicture[]> {
  const db = await database();
  const found = await db.getAll('pictures');
  return found.sort((one, other) => one.made_at.localeCompare(other.made_at));
}

/** The server has it, or somebody has read why it does not. */
export async function dropPicture(id: string): Promise<void> {
  const db = await database();
  await db.delete('pictures', id);
}
