/** The shop bell: an open tablet that says what has just become due, once. */
import { hourOf } from '../words/times';
import type { Line, NowList, Workshop } from './view';

/** Lines that were not there before; of the first look nothing is said. */
export function newlyDue(before: NowList | undefined, after: NowList): Line[] {
  if (!before) return [];
  const known = new Set([...before.soon, ...before.may, ...before.wrong].map(key));
  return [...after.soon, ...after.wrong, ...after.may].filter((line) => !known.has(key(line)));
}

function key(line: Line): string {
  return `${line.act} ${line.group} ${line.pieces.join()}`;
}

/** Nobody is rung at night: from the hour the shop opens to the one it goes home, any day. */
export function inShopHours(workshop: Workshop, at_ms: number): boolean {
  const opens = Object.values(workshop.hours ?? {}).map(([opening]) => hour(opening));
  const from = Math.min(...opens, hour(workshop.home_time));
  const at = hourOf(at_ms);
  return at >= (opens.length ? from : 0) && at < hour(workshop.home_time);
}

function hour(clock: string | undefined): number {
  return Number.parseInt(clock ?? '0', 10);
}
