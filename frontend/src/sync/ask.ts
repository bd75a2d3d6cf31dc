/** One question to the server. Whatever goes wrong becomes one of a few cases. */
import type { Problem } from '../store/tap';

export type Failure =
  | 'no_signal'
  | 'not_paired'
  | 'not_allowed'
  | 'too_big'
  | 'server_trouble'
  | 'not_here'
  | 'refused';

export class AskFailed extends Error {
  constructor(
    readonly failure: Failure,
    readonly problem?: Problem,
  ) {
    super(failure);
  }
}

const PATIENCE_MS = 20_000;
const LONG_PATIENCE_MS = 10 * 60_000;
let phoneId: string | undefined;

/** Which phone this is; unsafe requests must say so. */
export function speakAs(id: string | undefined): void {
  phoneId = id;
}

export function get<T>(path: string): Promise<T> {
  return ask<T>(path, { method: 'GET' });
}

export function post<T>(path: string, body: unknown): Promise<T> {
  return ask<T>(path, { method: 'POST', body: JSON.stringify(body) });
}

/** As `post`, of what may take minutes there. */
export function postLong<T>(path: string, body: unknown): Promise<T> {
  return ask<T>(path, { method: 'POST', body: JSON.stringify(body) }, LONG_PATIENCE_MS);
}

/** A picture as it is; sent twice it is one. */
export function putPicture(path: string, jpeg: ArrayBuffer): Promise<unknown> {
  return ask(path, { method: 'PUT', body: jpeg, headers: { 'Content-Type': 'image/jpeg' } });
}

/** A file as it is; a large one over a weak signal takes its time. */
export function postFile<T>(path: string, file: Blob): Promise<T> {
  const headers = { 'Content-Type': 'text/csv' };
  return ask<T>(path, { method: 'POST', body: file, headers }, LONG_PATIENCE_MS);
}

async function ask<T>(path: string, init: RequestInit, patience_ms = PATIENCE_MS): Promise<T> {
  const headers: Record<string, string> = {
    Accept: 'application/json',
    ...(init.body && { 'Content-Type': 'application/json' }),
    ...(init.headers as Record<string, string> | undefined),
  };
  if (phoneId && init.method !== 'GET') headers['X-CureClock-Phone'] = phoneId;
  const reply = await reach(path, { ...init, headers }, patience_ms);
  if (!reply.ok) throw await failure(reply);
  return readJson<T>(reply);
}

async function reach(path: string, init: RequestInit, patience_ms: number): Promise<Response> {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), patience_ms);
  try {
    return await fetch(path, { ...init, credentials: 'same-origin', signal: stop.signal });
  } catch {
    throw new AskFailed('no_signal');
  } finally {
    clearTimeout(timer);
  }
}

async function readJson<T>(reply: Response): Promise<T> {
  if (reply.status === 204) return undefined as T;
  try {
    return (await reply.json()) as T;
  } catch {
    // Not our server's word: a proxy's page, or an answer cut short.
    throw new AskFailed('server_trouble');
  }
}

async function failure(reply: Response): Promise<AskFailed> {
  const problem = await problemOf(reply);
  if (reply.status === 401) return new AskFailed('not_paired', problem);
  if (reply.status === 403) return new AskFailed('not_allowed', problem);
  if (reply.status === 404) return new AskFailed('not_here', problem);
  if (reply.status === 413) return new AskFailed('too_big', problem);
  // Only our own server's words are a refusal; anything else may pass.
  if (reply.status < 500 && problem) return new AskFailed('refused', problem);
  return new AskFailed('server_trouble', problem);
}

async function problemOf(reply: Response): Promise<Problem | undefined> {
  if (!reply.headers.get('content-type')?.includes('application/problem+json')) return undefined;
  const told = (await reply.json().catch(() => undefined)) as unknown;
  return asProblem(told);
}

/** RFC 9457 with our own fields, or undefined if it is not one. */
export function asProblem(told: unknown): Problem | undefined {
  if (typeof told !== 'object' || told === null) return undefined;
  const fields = told as Record<string, unknown>;
  const words = [fields.detail, fields.wrong, fields.title].find((one) => typeof one === 'string');
  return {
    key: String(fields.key ?? 'refused'),
    detail: String(words ?? ''),
    ...(typeof fields.field === 'string' && { field: fields.field }),
    ...(typeof fields.mend === 'string' && { mend: fields.mend }),
  };
}
