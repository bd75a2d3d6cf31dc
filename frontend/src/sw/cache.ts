/**
 * The app's own files, kept whole under one name per build: a phone never runs half of one
 * version and half of the next. Answers about the shop are never kept here.
 */
declare const __KEEP__: string[];
declare const __BUILD__: string;

const KEEP = __KEEP__;
const SHELL = `shell-${__BUILD__}`;

/** The page itself is kept as '/': '/index.html' redirects there, and a redirect cannot be shown offline. */
export async function keepShell(): Promise<void> {
  const shell = await caches.open(SHELL);
  await shell.addAll(KEEP.map((path) => new Request(path, { cache: 'reload' })));
}

export async function dropOldShells(): Promise<void> {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith('shell-') && name !== SHELL);
  await Promise.all(old.map((name) => caches.delete(name)));
}

/** A reply for the app's own pages and files; undefined leaves the request to the network. */
export function answer(request: Request): Promise<Response> | undefined {
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== location.origin) return undefined;
  if (KEEP.includes(url.pathname)) return fromShell(url.pathname, request);
  if (request.mode === 'navigate' && !belongsToServer(url.pathname)) return fromShell('/', request);
  return undefined;
}

function belongsToServer(path: string): boolean {
  return path.startsWith('/api/') || path.startsWith('/certificate');
}

async function fromShell(path: string, request: Request): Promise<Response> {
  const shell = await caches.open(SHELL);
  return (await shell.match(path)) ?? fetch(request);
}
