/** The service worker: what the phone keeps so that the app opens in a shed without a signal. */
import { keepShell, answer, dropOldShells } from './cache';
import { showNotice, touched } from './push';

declare const self: ServiceWorkerGlobalScope;

self.addEventListener('install', (event) => {
  // The running page goes on with the files it began with: a newer worker waits to be let in.
  event.waitUntil(keepShell());
});

self.addEventListener('message', (event) => {
  if (event.data === 'take over') void self.skipWaiting();
});

self.addEventListener('activate', (event) => {
  event.waitUntil(dropOldShells().then(() => self.clients.claim()));
});

self.addEventListener('fetch', (event) => {
  const reply = answer(event.request);
  if (reply) event.respondWith(reply);
});

self.addEventListener('push', (event) => {
  event.waitUntil(showNotice(event));
});

self.addEventListener('notificationclick', (event) => {
  event.waitUntil(touched(event));
});
