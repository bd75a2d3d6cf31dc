/** The machines and routes of the shop, asked for where one is to be chosen. */
import { signal } from '@preact/signals';
import { get } from '../sync/ask';
import type { Thing } from './view';

export const machinesKnown = signal<Thing[]>([]);
export const routesKnown = signal<Thing[]>([]);

/** Without a signal those already heard of stand. */
export async function pullKnown(): Promise<void> {
  try {
    const told = await get<{ machines: Thing[]; routes: Thing[] }>('/api/plan');
    machinesKnown.value = told.machines;
    routesKnown.value = told.routes;
  } catch {
    return;
  }
}
