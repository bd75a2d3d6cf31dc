/** Keeps the screen on while something is about to run out, where the browser can. */
import { signal } from '@preact/signals';

export const isKeptAwake = signal(false);
let held: WakeLockSentinel | undefined;
let wanted = false;

export function keepAwake(wish: boolean): void {
  if (wish === wanted) return;
  wanted = wish;
  void (wish ? hold() : release());
}

async function hold(): Promise<void> {
  if (!('wakeLock' in navigator) || held || document.visibilityState !== 'visible') return;
  try {
    held = await navigator.wakeLock.request('screen');
    isKeptAwake.value = true;
    held.addEventListener('release', () => {
      held = undefined;
      isKeptAwake.value = false;
    });
    if (!wanted) await release();
  } catch {
    // Battery saving, or not allowed: the page says that the screen may go dark.
    isKeptAwake.value = false;
  }
}

async function release(): Promise<void> {
  await held?.release();
}

// A browser takes the lock away whenever the page is hidden.
if (typeof document !== 'undefined') {
  document.addEventListener('visibilitychange', () => {
    if (wanted && document.visibilityState === 'visible') void hold();
  });
}
