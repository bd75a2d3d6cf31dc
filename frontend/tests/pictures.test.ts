import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { pictures, taps } from '../src/models/shop';
import { allPictures, keepPicture } from '../src/store/pictures';
import { newTap } from '../src/sync/outbox';
import { sendPictures } from '../src/sync/pictures';
import { freshStore, restart } from './fresh-store';

let asked: string[] = [];

beforeEach(async () => {
  await freshStore();
  asked = [];
  taps.value = [];
  pictures.value = [];
});
afterEach(() => vi.unstubAllGlobals());

function server(status: number, body: unknown = {}): void {
  vi.stubGlobal('fetch', async (path: string) => {
    asked.push(path);
    const type = status < 400 ? 'application/json' : 'application/problem+json';
    return new Response(JSON.stringify(body), { status, headers: { 'content-type': type } });
  });
}

async function kept(id = 'p1', event = 'e1'): Promise<void> {
  const jpeg = new Uint8Array([1, 2, 3]).buffer;
  await keepPicture({ id, event, about: 'a crack', jpeg, made_at: '2026-02-05T10:00:00Z' });
}

test('a picture outlives the page and is let go once the server has it', async () => {
  await kept();
  await restart();
  server(200);
  await sendPictures();
  expect(asked).toEqual(['/api/pictures/p1?event=e1']);
  expect(await allPictures()).toEqual([]);
});

test('without a signal it stays, and is asked for again', async () => {
  await kept();
  vi.stubGlobal('fetch', async () => {
    throw new TypeError('no line');
  });
  await expect(sendPictures()).rejects.toThrow();
  expect(pictures.value).toHaveLength(1);
  server(200);
  await sendPictures();
  expect(await allPictures()).toEqual([]);
});

test('a picture of a tap that was not sent yet waits for it', async () => {
  await kept();
  const now = new Date();
  taps.value = [{ ...newTap('checked', {}, now, now), id: 'e1', number: 1, state: 'kept' }];
  server(200);
  await sendPictures();
  expect(asked).toEqual([]);
  expect(pictures.value).toHaveLength(1);
});

test('what the server refuses stays with its words, and stops no other', async () => {
  await kept('p1');
  await kept('p2');
  server(422, { key: 'refused', detail: 'it has 24 pictures already' });
  await sendPictures();
  expect(asked).toHaveLength(2);
  const words = (await allPictures()).map((one) => one.problem?.detail);
  expect(words).toEqual(['it has 24 pictures already', 'it has 24 pictures already']);
  await sendPictures();
  expect(asked).toHaveLength(2);
});
