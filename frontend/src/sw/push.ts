/** Notices: every push is shown, one tap opens the one screen that matters. */
declare const self: ServiceWorkerGlobalScope;

/** The declarative form (web_push 8030), which a worker reads as well. */
interface Told {
  notification?: {
    title?: string;
    body?: string;
    tag?: string;
    lang?: string;
    requireInteraction?: boolean;
    data?: { link?: string; urgent?: boolean };
  };
}

/** A push that shows nothing costs the phone its permission: what cannot be read is shown as such. */
export async function showNotice(event: PushEvent): Promise<void> {
  const told = read(event);
  const { title, body, tag, lang, requireInteraction, data } = told.notification ?? {};
  await self.registration.showNotification(title || 'CureClock', {
    body: body ?? '',
    icon: '/icon.svg',
    lang: lang ?? 'en',
    requireInteraction: requireInteraction ?? false,
    data: { link: data?.link ?? '/now' },
    ...(tag && { tag, renotify: data?.urgent ?? false }),
  } as NotificationOptions);
  // Open pages ask the server at once: what is told is already so there.
  await tellPages({ kind: 'shown', tag: tag ?? '' });
}

function read(event: PushEvent): Told {
  try {
    return (event.data?.json() ?? {}) as Told;
  } catch {
    return {};
  }
}

/** To the page that is open, if there is one; else a new one. Only ever to our own addresses. */
export async function openNotice(event: NotificationEvent): Promise<void> {
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
