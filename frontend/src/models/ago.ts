/** "It was 10 min ago": for the next tap only. */
import { signal } from '@preact/signals';

export const FIRST_MIN = 10;
export const STEP_MIN = 5;
const LONGEST_MIN = 12 * 60;

export const ago_min = signal(0);

/** The first touch means ten minutes; further ones go by fives. */
export function earlier(): void {
  const next = ago_min.value === 0 ? FIRST_MIN : ago_min.value + STEP_MIN;
  ago_min.value = Math.min(next, LONGEST_MIN);
}

export function later(): void {
  ago_min.value = Math.max(0, ago_min.value - STEP_MIN);
}
