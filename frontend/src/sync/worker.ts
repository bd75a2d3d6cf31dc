/** Starts the service worker where the browser allows one: over HTTPS, or on the machine itself. */
import { signal } from '@preact/signals';

/** The worker of a newer app, waiting to be let in. */
export const newer = signal<ServiceWorker | undefined>(undefined);
let registration: ServiceWorkerRegistration | undefined;

export async function keepWorkingOffline(): Promise<boolean> {
  if (typeof navigator === 'undefined' || !('serviceWorker' in navigator)) return false;
  registration = await navigator.serviceWorker.register('/sw.js');
  watch(registration);
  return true;
}

/** Asks whether there is a newer app: when the server says it has changed. */
export function lookForNewer(): void {
  void registration?.update().catch(() => undefined);
}

/** Let the newer one in; the page is then opened again by it, with every kept tap still there. */
export function takeNewer(): void {
  const waiting = newer.peek();
  if (!waiting) return location.reload();
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), {
    once: true,
  });
  waiting.postMessage('take over');
}

function watch(found: ServiceWorkerRegistration | undefined): void {
  if (!found) return;
  offer(found.waiting);
  found.addEventListener('updatefound', () => {
    const coming = found.installing;
    coming?.addEventListener('statechange', () => {
      if (coming.state === 'installed') offer(coming);
    });
  });
}

/** The first worker there ever was needs nobody's leave. */
function offer(waiting: ServiceWorker | null): void {
  if (waiting && navigator.serviceWorker.controller) newer.value = waiting;
}
