/** What time it is in the shop, and for how long the phone's own clock has been wrong. */
import { computed, signal } from '@preact/signals';

const SMALL_MS = 2 * 60_000;
const QUICK_MS = 2_000;

/** Shop time less this phone's time; nought unless it is clearly wrong. */
export const skew_ms = signal(0);
const seconds = signal(shopTime());

/** Ticks once a second while the page is seen; screens read `minute` unless they count down. */
export const second = computed(() => seconds.value);
export const minute = computed(() => Math.floor(seconds.value / 60_000) * 60_000);

export function shopTime(): number {
  return Date.now() + skew_ms.peek();
}

/** How long before now, in minutes, as `tell` takes it. */
export function minutesSince(at_ms: number): number {
  return (shopTime() - at_ms) / 60_000;
}

export function tick(): void {
  seconds.value = shopTime();
}

/** The server said what time it is; a slow answer proves nothing about clocks. */
export function hear(server_now: string, asked_ms: number, answered_ms: number): void {
  const apart_ms = Date.parse(server_now) - (asked_ms + answered_ms) / 2;
  if (Number.isNaN(apart_ms) || answered_ms - asked_ms > QUICK_MS) return;
  skew_ms.value = Math.abs(apart_ms) > SMALL_MS ? Math.round(apart_ms) : 0;
  tick();
}

/** An instant told by this phone's clock, in shop time. */
export function inShopTime(device_iso: string): string {
  return new Date(Date.parse(device_iso) + skew_ms.peek()).toISOString();
}
