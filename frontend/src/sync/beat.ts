/** When to talk to the server: at start, after a tap, when the signal or the page comes back. */
import { shopTime, tick } from '../models/clock';
import { alerts, type StandingAlert } from '../models/alerts';
import { recallLibrary } from '../models/library';
import { serverIs } from '../models/form';
import { served, show, storeTrouble, trouble, unsent } from '../models/shop';
import { afterTelling, readTaps } from '../models/tell';
import { failed } from '../store/database';
import { allTaps, forgetTaps } from '../store/taps';
import { AskFailed, get, post, speakAs } from './ask';
import { keepRinging } from './push';
import { keepView, lastView, pullView } from './pull';
import { readPictures, sendPictures } from './pictures';
import { sendTaps } from './send';
import { lookForNewer } from './worker';

const EVERY_MS = 30_000;
/** With taps to send, or nothing heard: a browser does not always say when the signal is back. */
const AGAIN_MS = 5_000;
const UNDO_MS = 10 * 60_000;
const LONG_MS = 5 * 60_000;
const LIFE_MS = 5 * 60_000;
const channel =
  typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('cureclock');

/** Reads what the phone keeps, shows it, then asks the server. */
export async function start(): Promise<void> {
  try {
    const [view, taps] = [await lastView(), await allTaps()];
    speakAs(view?.me.phone.id);
    await recallLibrary();
    show({ view, taps });
    await readPictures();
  } catch (cause) {
    storeTrouble.value = failed(cause).reason;
    show({});
  }
  afterTelling(() => void sync());
  listen();
  await sync();
}

let running: Promise<void> | undefined;
let again = false;

/** Send, then pull. A call while one is running makes it run once more, not twice at a time. */
export function sync(): Promise<void> {
  if (running) {
    again = true;
    return running;
  }
  running = once().finally(() => {
    running = undefined;
    if (again) {
      again = false;
      void sync();
    }
  });
  return running;
}

async function once(): Promise<void> {
  try {
    const first = isLongAgo() || serverIs.peek() !== 'same';
    if (first) await pull();
    // A newer server may read our taps otherwise than they were meant: they wait for the update.
    if (serverIs.peek() === 'newer') return lookForNewer();
    const sent = await sendTaps().catch(() => undefined);
    if (sent?.failed?.failure === 'no_signal') throw sent.failed;
    if (!first || sent?.answered.length) await pull();
    await sendPictures().catch(() => undefined);
    await showLife();
    await pullAlerts();
    trouble.value = sent?.failed?.failure;
    channel?.postMessage('taps');
  } catch (cause) {
    await readTaps().catch(() => undefined);
    trouble.value = cause instanceof AskFailed ? cause.failure : 'server_trouble';
  }
}

/** They are worth nothing an hour later, so no copy is kept. */
async function pullAlerts(): Promise<void> {
  alerts.value = await get<{ alerts: StandingAlert[] }>('/api/alerts').then(
    (told) => (Array.isArray(told?.alerts) ? told.alerts : []),
    () => [],
  );
}

let shown_life_ms = 0;

/** Says that this phone is there, and has its key made to last anew; nothing depends on it. */
async function showLife(): Promise<void> {
  if (Date.now() - shown_life_ms < LIFE_MS) return;
  await post('/api/heartbeat', { unsent: unsent.peek().length }).then(
    () => {
      shown_life_ms = Date.now();
      void keepRinging().catch(() => undefined);
    },
    () => undefined,
  );
}

/** Who knows what the server has become since. */
function isLongAgo(): boolean {
  const heard = served.peek()?.now;
  return heard === undefined || shopTime() - Date.parse(heard) > LONG_MS;
}

async function pull(): Promise<void> {
  const view = await pullView();
  speakAs(view.me.phone.id);
  const kept = keepView(view);
  show({ view, taps: await allTaps().catch(() => []) });
  trouble.value = undefined;
  await kept;
  await forgetTaps(new Date(shopTime() - UNDO_MS).toISOString()).catch(() => 0);
}

function listen(): void {
  addEventListener('online', () => void sync());
  document.addEventListener('visibilitychange', () => {
    tick();
    if (document.visibilityState === 'visible') void sync();
  });
  channel?.addEventListener('message', () => void readTaps().catch(() => undefined));
  setInterval(tick, 1000);
  setInterval(() => {
    if (document.visibilityState === 'visible' && served.peek()) void sync();
  }, EVERY_MS);
  setInterval(() => {
    const seen = document.visibilityState === 'visible';
    if (unsent.peek().length > 0 || (seen && trouble.peek() === 'no_signal')) void sync();
  }, AGAIN_MS);
}
