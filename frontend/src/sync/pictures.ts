/** Pictures out, after the taps they are of; what the server refuses stays with its words. */
import { pictures, unsent, unsentPictures } from '../models/shop';
import type { KeptPicture } from '../store/database';
import { allPictures, dropPicture, keepPicture } from '../store/pictures';
import { AskFailed, putPicture } from './ask';
import { oneAtATime } from './lock';

export async function readPictures(): Promise<void> {
  pictures.value = await allPictures();
}

export function sendPictures(): Promise<void> {
  return oneAtATime('pictures', drain);
}

async function drain(): Promise<void> {
  await readPictures();
  const waiting = new Set(unsent.peek().map((tap) => tap.id));
  for (const one of unsentPictures.peek().filter((picture) => !waiting.has(picture.event))) {
    await send(one);
  }
  await readPictures();
}

async function send(one: KeptPicture): Promise<void> {
  try {
    await putPicture(`/api/pictures/${one.id}?event=${one.event}`, one.jpeg);
    await dropPicture(one.id);
  } catch (cause) {
    const told = cause instanceof AskFailed ? cause : undefined;
    const settled = told && ['refused', 'too_big', 'not_here'].includes(told.failure);
    if (!settled || !told.problem) throw cause;
    await keepPicture({ ...one, problem: told.problem });
  }
}
