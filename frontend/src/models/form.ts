/** Which form of the contract this app speaks, and how the server's compares with it. */
import { computed } from '@preact/signals';
import { served } from './shop';

export const FORM = 1;
export type Apart = 'same' | 'newer' | 'older';

/** newer: the server has gone on, and this app must be updated before it sends anything. */
export const serverIs = computed<Apart>(() => formOf(served.value?.version));

export function formOf(version: string | undefined): Apart {
  const told = Number.parseInt(version ?? '', 10);
  if (Number.isNaN(told) || told === FORM) return 'same';
  return told > FORM ? 'newer' : 'older';
}
