/** The server's word, in: the view that is kept for when there is no signal, and single answers. */
import { hear } from '../models/clock';
import type { View } from '../models/view';
import { keep, kept } from '../store/kept';
import { get } from './ask';
import { readView } from './read-view';

const VIEW = 'view';

/** Fetches the view, and sets the shop's time by it. */
export async function pullView(): Promise<View> {
  const asked_ms = Date.now();
  const told = await get<unknown>('/api/view');
  const view = readView(told);
  hear(view.now, asked_ms, Date.now());
  return view;
}

/** A full phone still shows what it has just heard; only the copy for later is missing. */
export async function keepView(view: View): Promise<void> {
  await keep(VIEW, view).catch(() => undefined);
}

/** The last view heard, however old; undefined if there is none or it cannot be read. */
export async function lastView(): Promise<View | undefined> {
  const told = await kept(VIEW, isThere);
  try {
    return told === undefined ? undefined : readView(told);
  } catch {
    return undefined;
  }
}

/** Something fetched by itself, or its kept copy when the server cannot be had. */
export async function pullKept<T>(key: string, path: string): Promise<T> {
  try {
    const told = await get<T>(path);
    await keep(key, told).catch(() => undefined);
    return told;
  } catch (failed) {
    const copy = await keptCopy<T>(key);
    if (copy === undefined) throw failed;
    return copy;
  }
}

export async function keptCopy<T>(key: string): Promise<T | undefined> {
  return (await kept(key, isThere).catch(() => undefined)) as T | undefined;
}

function isThere(value: unknown): value is object {
  return typeof value === 'object' && value !== null;
}
