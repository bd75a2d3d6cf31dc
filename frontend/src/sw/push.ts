/** Notices: every push is shown, one tap opens the one screen that matters. */
declare const self: ServiceWorkerGlobalScope;

/** As many as any phone shows. */
const MOST_ACTIONS = 3;

/** The declarative form (web_push 8030), which a worker reads as well. */
interface Kept {
  link?: string;
  urgent?: boolean;
  receipt?: string;
  /** For each button the token that answers by it. */
  answers?: Record<string, string>;
}

interface Told {
  notification?: {
    title?: string;
    body?: string;
    tag?: string;
    lang?: string;
    requireInteraction?: boolean;
    actions?: { action: string; title: string }[];
    data?: Kept;
  };
}

/** A push that shows nothing costs the phone its permission: what cannot be read is shown as such. */
export async function showNotice(event: PushEvent): Promise<void> {
  const told = read(event);
  const { title, body, tag, lang, requireInteraction, actions, data } = told.notification ?? {};
  await self.registration.showNotification(title || 'CureClock', {
    body: body ?? '',
    icon: '/icon.svg',
    lang: lang ?? 'en',
    requireInteraction: requireInteraction ?? false,
    actions: (actions ?? []).slice(0, MOST_ACTIONS),
    data: { ...data, link: data?.link ?? '/now' },
    ...(tag && { tag, renotify: data?.urgent ?? false }),
  } as NotificationOptions);
  // Open pages ask the server at once: what is told is already so there.
  await tellPages({ kind: 'shown', tag: tag ?? '' });
  await report(data?.receipt, 'shown');
}

function read(event: PushEvent): Told {
  try {
    return (event.data?.json() ?? {}) as Told;
  } catch {
    return {};
  }
}

/** Both tokens stand for themselves: no key of the phone goes with them. */
async function send(path: string, body: unknown): Promise<boolean> {
  const headers = { 'Content-Type': 'application/json' };
  const reply = await fetch(path, { method: 'POST', headers, body: JSON.stringify(body) }).catch(
    () => undefined,
  );
  return reply?.ok ?? false;
}

async function report(receipt: string | undefined, says: string): Promise<void> {
  if (receipt) await send('/api/receipts', { receipt, says });
}

/** One touch on a button answers; where it cannot, the screen opens where it can be done. */
export async function touched(event: NotificationEvent): Promise<void> {
  const { answers, receipt } = (event.notification.data ?? {}) as Kept;
  const token = answers?.[event.action];
  const done = token !== undefined && (await send('/api/answers', { token }));
  await report(receipt, 'seen');
  if (!done) return openNotice(event);
  event.notification.close();
  await tellPages({ kind: 'shown' });
}

/** To the page that is open, if there is one; else a new one. Only ever to our own addresses. */
async function openNotice(event: NotificationEvent): Promise<void> {
  event.notification.close();
  const link = new URL(String(event.notification.data?.link ?? '/now'), self.location.origin);
  const address = link.origin === self.location.origin ? link.href : self.location.origin;
  const pages = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  const open = pages[0];
  if (!open) {
    await self.clients.openWindow(address);
    return;
  }
  // A browser may not let it come forward; the page goes where it should all the same.
  await open.focus().catch(() => undefined);
  open.postMessage({ kind: 'open', path: new URL(address).pathname });
}

async function tellPages(message: unknown): Promise<void> {
  const pages = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  for (const page of pages) page.postMessage(message);
}
