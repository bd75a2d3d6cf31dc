import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { allTaps, keepTap, keptTaps } from '../src/store/taps';
import { happenedAt, newTap } from '../src/sync/outbox';
import { sendTaps } from '../src/sync/send';
import { freshStore, restart } from './fresh-store';

interface Sent {
  happenings: { id: string; number: number; at: string; verb: string }[];
  unsent: number;
}

const NOW = '2026-02-05T10:00:00Z';
let posts: Sent[] = [];

beforeEach(async () => {
  await freshStore();
  posts = [];
});
afterEach(() => vi.unstubAllGlobals());

function json(body: unknown, status = 200, type = 'application/json'): Response {
  return new Response(JSON.stringify(body), { status, headers: { 'content-type': type } });
}

function problem(status: number, key: string): Response {
  const body = { title: 'no', status, key, detail: `${key}: no; do better` };
  return json(body, status, 'application/problem+json');
}

/** A server for one test: what it answers to each request, in turn; the last one goes on. */
function server(...answers: ((sent: Sent) => Response | Promise<Response>)[]): void {
  vi.stubGlobal('fetch', async (_path: string, init: RequestInit) => {
    const sent = JSON.parse(String(init.body)) as Sent;
    posts.push(sent);
    return (answers.length > 1 ? answers.shift()! : answers[0]!)(sent);
  });
}

const applied = (sent: Sent) =>
  json({ now: NOW, answers: sent.happenings.map(({ id }) => ({ id, outcome: 'applied' })) });

async function keep(count: number): Promise<string[]> {
  const ids: string[] = [];
  for (let n = 0; n < count; n += 1) {
    const at = new Date(Date.parse(NOW) + n * 60_000);
    ids.push((await keepTap(newTap('pressure_on', { glue_up: String(n) }, at, at))).id);
  }
  return ids;
}

function sentIds(): string[] {
  return posts.flatMap((post) => post.happenings.map((one) => one.id));
}

test('taps go out in order, with their ids, numbers and true times', async () => {
  const ids = await keep(3);
  server(applied);
  expect(await sendTaps()).toMatchObject({ answered: [{}, {}, {}] });
  expect(sentIds()).toEqual(ids);
  expect(posts[0]!.happenings.map((one) => one.number)).toEqual([1, 2, 3]);
  expect(posts[0]!.happenings[2]!.at).toBe('2026-02-05T10:02:00.000Z');
  expect(await keptTaps()).toEqual([]);
});

test('a page that dies between keeping and sending sends after it is opened again', async () => {
  const ids = await keep(2);
  await restart();
  server(applied);
  await sendTaps();
  expect(sentIds()).toEqual(ids);
});

test('an answer that never came back is asked for again, under the same id', async () => {
  const [id] = await keep(1);
  const known = (sent: Sent) =>
    json({ now: NOW, answers: sent.happenings.map((one) => ({ id: one.id, outcome: 'known' })) });
  server(() => Promise.reject(new TypeError('cut off')), known);
  expect((await sendTaps()).failed?.failure).toBe('no_signal');
  expect(await keptTaps()).toHaveLength(1);
  await sendTaps();
  expect(sentIds()).toEqual([id, id]);
  expect((await allTaps())[0]?.state).toBe('known');
});

test('two flushes at a time send each tap once', async () => {
  const ids = await keep(3);
  server(async (sent) => {
    await new Promise((done) => setTimeout(done, 5));
    return applied(sent);
  });
  await Promise.all([sendTaps(), sendTaps(), sendTaps()]);
  expect(sentIds()).toEqual(ids);
});

test('a refused tap loses no other, and keeps the words of its refusal', async () => {
  const [, second] = await keep(3);
  server((sent) =>
    json({
      now: NOW,
      answers: sent.happenings.map(({ id }) =>
        id === second
          ? { id, outcome: 'refused', problem: { key: 'refused', detail: 'who: may look only' } }
          : { id, outcome: 'applied' },
      ),
    }),
  );
  await sendTaps();
  const all = await allTaps();
  expect(all.map((tap) => tap.state)).toEqual(['applied', 'refused', 'applied']);
  expect(all[1]?.problem?.detail).toBe('who: may look only');
});

test('answers in another order find their taps', async () => {
  const [one, two] = await keep(2);
  server(() =>
    json({
      now: NOW,
      answers: [
        { id: two, outcome: 'refused', problem: {} },
        { id: one, outcome: 'applied' },
      ],
    }),
  );
  await sendTaps();
  expect((await allTaps()).map((tap) => tap.state)).toEqual(['applied', 'refused']);
});

test.each([
  ['trouble', () => new Response('oops', { status: 500 }), 'server_trouble'],
  ['a stranger’s page', () => new Response('<html>', { status: 200 }), 'server_trouble'],
  ['a stranger’s 404', () => new Response('', { status: 404 }), 'not_here'],
  ['not paired', () => problem(401, 'not_paired'), 'not_paired'],
  ['not allowed', () => problem(403, 'not_allowed'), 'not_allowed'],
  ['a stranger’s 413', () => new Response('', { status: 413 }), 'too_big'],
  ['a refusal without words', () => new Response('', { status: 400 }), 'server_trouble'],
  ['nothing at all', () => Promise.reject(new TypeError('nothing')), 'no_signal'],
  ['an empty answer', () => json({ now: NOW, answers: [] }), 'server_trouble'],
  [
    'a foreign id',
    () => json({ now: NOW, answers: [{ id: 'x', outcome: 'applied' }] }),
    'server_trouble',
  ],
  [
    'an unknown outcome',
    (sent: Sent) =>
      json({ now: NOW, answers: [{ id: sent.happenings[0]!.id, outcome: 'perhaps' }] }),
    'server_trouble',
  ],
] as const)('%s keeps every tap', async (_name, answer, failure) => {
  await keep(2);
  server(answer as (sent: Sent) => Response);
  expect((await sendTaps()).failed?.failure).toBe(failure);
  expect(await keptTaps()).toHaveLength(2);
});

test('too much at once goes in smaller parts, in order, each once', async () => {
  const ids = await keep(7);
  server((sent) =>
    sent.happenings.length > 2 ? new Response('', { status: 413 }) : applied(sent),
  );
  await sendTaps();
  const taken = posts.filter((post) => post.happenings.length <= 2);
  expect(taken.flatMap((post) => post.happenings.map((one) => one.id))).toEqual(ids);
  expect(await keptTaps()).toEqual([]);
});

test('what the server cannot read is refused by itself and does not block the rest', async () => {
  const [bad] = await keep(3);
  server((sent) =>
    sent.happenings.some((one) => one.id === bad) ? problem(422, 'wrong_shape') : applied(sent),
  );
  await sendTaps();
  expect((await allTaps()).map((tap) => tap.state)).toEqual(['refused', 'applied', 'applied']);
});

test('trouble in the middle keeps what was not answered', async () => {
  await keep(60);
  server(applied, () => new Response('', { status: 500 }));
  const sent = await sendTaps();
  expect(sent.answered).toHaveLength(50);
  expect(await keptTaps()).toHaveLength(10);
});

test('how many taps are still kept is told with each batch', async () => {
  await keep(60);
  server(applied);
  await sendTaps();
  expect(posts.map((post) => post.unsent)).toEqual([10, 0]);
});

test('a clock set back between the tap and now is mended by the stopwatch', () => {
  const pressed = new Date('2026-02-05T12:00:00Z');
  const tap = newTap('pressure_on', {}, pressed, pressed);
  const an_hour_back = new Date('2026-02-05T11:05:00Z');
  const stopwatch_ms = tap.stopwatch_ms + 5 * 60_000;
  expect(happenedAt(tap, an_hour_back, stopwatch_ms)).toBe('2026-02-05T11:00:00.000Z');
});

test('a stopwatch that slept proves nothing', () => {
  const pressed = new Date('2026-02-05T12:00:00Z');
  const tap = newTap('pressure_on', {}, pressed, pressed);
  expect(happenedAt(tap, new Date('2026-02-05T20:00:00Z'), tap.stopwatch_ms + 60_000)).toBe(tap.at);
});
