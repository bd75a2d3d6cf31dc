import { beforeEach, expect, test, vi } from 'vitest';
import { database, StoreFailed } from '../src/store/database';
import { keep, kept } from '../src/store/kept';
import { allTaps, answerTaps, dismissTap, forgetTaps, keepTap, keptTaps } from '../src/store/taps';
import { newTap, put } from '../src/sync/outbox';
import { freshStore, restart } from './fresh-store';

beforeEach(freshStore);

function tap(verb = 'spread_began') {
  const now = new Date('2026-02-05T10:00:00Z');
  return newTap(verb, { glue_up: 'g' }, now, now);
}

test('a kept tap is still there after the page has died', async () => {
  const told = await keepTap(tap());
  await restart();
  expect(await keptTaps()).toEqual([{ ...told, state: 'kept' }]);
});

test('the write that keeps a tap asks for strict durability', async () => {
  const db = await database();
  const asked = vi.spyOn(db, 'transaction');
  await keepTap(tap());
  expect(asked).toHaveBeenCalledWith('taps', 'readwrite', { durability: 'strict' });
});

test('taps come out in the order they were made, numbered', async () => {
  for (const verb of ['spread_began', 'pressure_on', 'clamps_off']) await keepTap(tap(verb));
  const out = await keptTaps();
  expect(out.map((one) => one.verb)).toEqual(['spread_began', 'pressure_on', 'clamps_off']);
  expect(out.map((one) => one.number)).toEqual([1, 2, 3]);
});

test('the first answer to a tap stands, whatever comes later', async () => {
  const { id } = await keepTap(tap());
  const answered_at = '2026-02-05T10:01:00Z';
  await answerTaps([{ id, state: 'applied', answered_at }]);
  await answerTaps([{ id, state: 'refused', answered_at, problem: { key: 'x', detail: '' } }]);
  expect((await allTaps())[0]?.state).toBe('applied');
});

test('a refused tap stays with its words until it has been read', async () => {
  const { id, number } = await keepTap(tap());
  const problem = { key: 'refused', detail: 'glue-up: is not here; reload' };
  await answerTaps([{ id, state: 'refused', answered_at: '2026-02-05T10:01:00Z', problem }]);
  await forgetTaps('2027-01-01T00:00:00Z');
  expect((await allTaps())[0]?.problem).toEqual(problem);
  await dismissTap(number);
  expect(await allTaps()).toEqual([]);
});

test('only taps the server has are ever forgotten or dismissed', async () => {
  const { number } = await keepTap(tap());
  await forgetTaps('2027-01-01T00:00:00Z');
  await dismissTap(number);
  expect(await keptTaps()).toHaveLength(1);
});

test('a damaged row does not hide the others', async () => {
  await keepTap(tap('pressure_on'));
  const db = await database();
  await db.put('taps', { number: 77, id: 'x', state: 'kept', verb: 3 } as never);
  await db.put('taps', { ...tap(), id: 'y', number: 78, state: 'kept', at: 'yesterday' });
  expect((await keptTaps()).map((one) => one.verb)).toEqual(['pressure_on']);
});

test('a full phone says so, and keeps no half of a tap', async () => {
  const db = await database();
  const full = new DOMException('no room', 'QuotaExceededError');
  vi.spyOn(db, 'transaction').mockImplementation(() => {
    throw full;
  });
  await expect(put(tap())).rejects.toMatchObject({ reason: 'full' });
  vi.restoreAllMocks();
  expect(await allTaps()).toEqual([]);
});

test('a full phone makes room from what can be fetched again before it gives up', async () => {
  await keep('group:1', { big: 'x' });
  const db = await database();
  const real = db.transaction.bind(db);
  let first = true;
  vi.spyOn(db, 'transaction').mockImplementation(((...asked: Parameters<typeof real>) => {
    if (first && (asked[0] as unknown) === 'taps') {
      first = false;
      throw new DOMException('no room', 'QuotaExceededError');
    }
    return real(...asked);
  }) as never);
  await put(tap());
  vi.restoreAllMocks();
  expect(await keptTaps()).toHaveLength(1);
  expect(await kept('group:1', (one): one is object => typeof one === 'object')).toBeUndefined();
});

test('a store written by a newer app is left alone and named as such', async () => {
  await restart();
  const newer = indexedDB.open('cureclock', 99);
  await new Promise((done) => (newer.onsuccess = done));
  newer.result.close();
  await expect(database()).rejects.toBeInstanceOf(StoreFailed);
  await expect(database()).rejects.toMatchObject({ reason: 'newer' });
});
