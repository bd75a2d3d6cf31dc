/** Letting this phone ring: the browser's leave, its push address, and telling the server of it. */
import { signal } from '@preact/signals';
import { get, post } from './ask';
import { ring, type Ring } from '../models/ring';

export type Leave = 'granted' | 'denied' | 'default' | 'missing';

/** missing: no HTTPS, or a browser without push. */
export const leave = signal<Leave>(readLeave());
export const subscribed = signal(false);

export function readLeave(): Leave {
  if (typeof Notification === 'undefined' || typeof PushManager === 'undefined') return 'missing';
  if (!('serviceWorker' in navigator)) return 'missing';
  return Notification.permission;
}

export async function pullRing(): Promise<void> {
  ring.value = await get<Ring>('/api/ring');
  leave.value = readLeave();
  subscribed.value = (await subscription()) !== null;
}

/** Asks for leave where there is none yet; called from a touch. True once the server has the address. */
export async function letItRing(): Promise<boolean> {
  if (leave.peek() === 'missing') return false;
  await Notification.requestPermission();
  leave.value = readLeave();
  if (leave.peek() !== 'granted') return false;
  const { push_key } = ring.peek() ?? (await get<Ring>('/api/ring'));
  const worker = await navigator.serviceWorker.ready;
  const before = await worker.pushManager.getSubscription();
  const made =
    before ??
    (await worker.pushManager.subscribe({
      userVisibleOnly: true,
      applicationServerKey: bytes(push_key),
    }));
  const { endpoint, keys } = made.toJSON();
  await post('/api/ways', {
    kind: 'webpush',
    address: endpoint,
    p256dh: keys?.p256dh,
    auth: keys?.auth,
  });
  subscribed.value = true;
  return true;
}

/** After an update, or when the browser gave a new address, the server is told the one that counts. */
export async function keepRinging(): Promise<void> {
  if (readLeave() === 'granted' && (await subscription())) await letItRing();
}

async function subscription(): Promise<PushSubscription | null> {
  if (readLeave() !== 'granted') return null;
  const worker = await navigator.serviceWorker.getRegistration();
  return (await worker?.pushManager.getSubscription()) ?? null;
}

function bytes(text: string): Uint8Array<ArrayBuffer> {
  const plain = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
  return Uint8Array.from(plain, (one) => one.charCodeAt(0));
}
