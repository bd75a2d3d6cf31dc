/** The phone's own store. Nothing else opens it. */
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';
import type { Problem, Tap } from './tap';

/** A picture until the server has it: drawn small on this phone, of one happening. */
export interface KeptPicture {
  id: string;
  event: string;
  about: string;
  jpeg: ArrayBuffer;
  made_at: string;
  problem?: Problem;
}

export interface Schema extends DBSchema {
  taps: { key: number; value: Tap; indexes: { state: string; id: string } };
  pictures: { key: string; value: KeptPicture };
  kept: { key: string; value: unknown };
}

export type Database = IDBPDatabase<Schema>;
export const NAME = 'cureclock';
const VERSION = 2;

/** Why the store cannot be used; `reason` chooses the words. */
export class StoreFailed extends Error {
  constructor(
    readonly reason: 'full' | 'newer' | 'broken' | 'none',
    cause?: unknown,
  ) {
    super(`store ${reason}`, { cause });
  }
}

let opened: Promise<Database> | undefined;

export function database(): Promise<Database> {
  opened ??= open().catch((cause: unknown) => {
    opened = undefined;
    throw failed(cause);
  });
  return opened;
}

async function open(): Promise<Database> {
  if (typeof indexedDB === 'undefined') throw new StoreFailed('none');
  return openDB<Schema>(NAME, VERSION, {
    upgrade(db, before) {
      if (before < 1) {
        const taps = db.createObjectStore('taps', { keyPath: 'number', autoIncrement: true });
        taps.createIndex('state', 'state');
        taps.createIndex('id', 'id', { unique: true });
        db.createObjectStore('kept');
      }
      if (before < 2) db.createObjectStore('pictures', { keyPath: 'id' });
    },
    // A newer page of this app wants to upgrade: let it, and open again when next asked.
    blocking: (_before, _after, event) => {
      (event.target as IDBDatabase).close();
      opened = undefined;
    },
    terminated: () => {
      opened = undefined;
    },
  });
}

/** What the browser says, as one of the few cases that have words of their own. */
export function failed(cause: unknown): StoreFailed {
  if (cause instanceof StoreFailed) return cause;
  const name = cause instanceof Error || cause instanceof DOMException ? cause.name : '';
  if (name === 'QuotaExceededError') return new StoreFailed('full', cause);
  if (name === 'VersionError') return new StoreFailed('newer', cause);
  return new StoreFailed('broken', cause);
}

/** Closes it: for tests, and before the store is thrown away. */
export async function close(): Promise<void> {
  const open = await opened?.catch(() => undefined);
  opened = undefined;
  open?.close();
}
