/** Which cautions there are, which are red, and which have been read today. */
import { signal } from '@preact/signals';
import { dayOf } from '../words/times';
import { shopTime } from './clock';

export const CAUTIONS = [
  'rags',
  'solvents',
  'isocyanate',
  'epoxy',
  'formaldehyde',
  'cyanoacrylate',
  'dust',
  'lathe',
  'hold_turning',
  'food',
  'heaters',
  'hot_pot',
  'tired',
  'limits',
] as const;
const RED = new Set(['rags', 'isocyanate', 'epoxy', 'lathe', 'limits']);
const KEY = 'cureclock.read';

const read = signal<{ day: string; keys: string[] }>(kept());

export function isRed(name: string): boolean {
  return RED.has(name);
}

export function cautionKey(name: string, container: string): string {
  return `${name} ${container}`;
}

export function readToday(key: string): boolean {
  return read.value.day === dayOf(shopTime()) && read.value.keys.includes(key);
}

export function markRead(key: string): void {
  const day = dayOf(shopTime());
  const before = read.peek().day === day ? read.peek().keys : [];
  read.value = { day, keys: [...before, key] };
  try {
    globalThis.localStorage?.setItem(KEY, JSON.stringify(read.peek()));
  } catch {
    // It will be shown in full again, which is the safe way round.
  }
}

function kept(): { day: string; keys: string[] } {
  try {
    const told = JSON.parse(globalThis.localStorage?.getItem(KEY) ?? '') as {
      day: string;
      keys: string[];
    };
    return { day: String(told.day), keys: Array.isArray(told.keys) ? told.keys : [] };
  } catch {
    return { day: '', keys: [] };
  }
}
