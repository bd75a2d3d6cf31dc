/** The table of taps: written before anything is shown, kept until the server has answered. */
import { database, failed } from './database';
import type { NewTap, Problem, Tap, TapState } from './tap';

export interface TapAnswer {
  id: string;
  state: Exclude<TapState, 'kept'>;
  answered_at: string;
  problem?: Problem;
  corrected_by_s?: number;
}

/** On disk when this returns: the transaction asks for strict durability and has completed. */
export async function keepTap(tap: NewTap): Promise<Tap> {
  try {
    const db = await database();
    const write = db.transaction('taps', 'readwrite', { durability: 'strict' });
    const row = { ...tap, state: 'kept' } as Tap;
    const number = await write.store.add(row);
    await write.done;
    return { ...row, number };
  } catch (cause) {
    throw failed(cause);
  }
}

/** Every tap that can be read, in the order they were made. */
export async function allTaps(): Promise<Tap[]> {
  const db = await database();
  return (await db.getAll('taps')).filter(readable);
}

export async function keptTaps(): Promise<Tap[]> {
  const db = await database();
  const kept = (await db.getAllFromIndex('taps', 'state', 'kept')).filter(readable);
  return kept.sort((one, other) => one.number - other.number);
}

/** Enter the server's answers. A tap already answered keeps its first answer. */
export async function answerTaps(answers: readonly TapAnswer[]): Promise<void> {
  const db = await database();
  const write = db.transaction('taps', 'readwrite', { durability: 'strict' });
  const byId = write.store.index('id');
  for (const answer of answers) {
    const tap = await byId.get(answer.id);
    if (tap?.state === 'kept') await write.store.put({ ...tap, ...answer });
  }
  await write.done;
}

/** Taps the server has and nobody can undo any more make room; refused ones stay until dismissed. */
export async function forgetTaps(answeredBefore: string): Promise<number> {
  const db = await database();
  const write = db.transaction('taps', 'readwrite');
  const done = (await write.store.getAll()).filter(
    (tap) => isDone(tap) && (tap.answered_at ?? '') < answeredBefore,
  );
  for (const tap of done) await write.store.delete(tap.number);
  await write.done;
  return done.length;
}

/** The maker has read why it was refused. */
export async function dismissTap(number: number): Promise<void> {
  const db = await database();
  const write = db.transaction('taps', 'readwrite', { durability: 'strict' });
  const tap = await write.store.get(number);
  if (tap?.state === 'refused') await write.store.delete(number);
  await write.done;
}

function isDone(tap: Tap): boolean {
  return tap.state === 'applied' || tap.state === 'known';
}

function readable(tap: Partial<Tap>): boolean {
  return (
    typeof tap.id === 'string' &&
    typeof tap.verb === 'string' &&
    typeof tap.said === 'object' &&
    tap.said !== null &&
    !Number.isNaN(Date.parse(tap.at ?? ''))
  );
}
