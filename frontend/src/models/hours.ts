/** Hours of a week as they are kept and as they are said: days that are alike together. */
import type { Workshop } from './view';

export interface DayHours {
  weekday: number;
  comes: string;
  goes: string;
}

export interface Stretch {
  from: number;
  until: number;
  comes: string;
  goes: string;
}

export function daysOf(hours: Workshop['hours']): DayHours[] {
  return Object.entries(hours ?? {})
    .map(([day, [comes = '', goes = '']]) => ({ weekday: Number(day), comes, goes }))
    .sort((one, other) => one.weekday - other.weekday);
}

/** Days on end with the same hours. */
export function stretches(days: readonly DayHours[]): Stretch[] {
  const found: Stretch[] = [];
  for (const { weekday, comes, goes } of days) {
    const last = found.at(-1);
    const goes_on = last?.until === weekday - 1 && last.comes === comes && last.goes === goes;
    if (goes_on) last.until = weekday;
    else found.push({ from: weekday, until: weekday, comes, goes });
  }
  return found;
}

/** The week with these days changed; without hours they are free. */
export function changed(
  days: readonly DayHours[],
  on: ReadonlySet<number>,
  hours: { comes: string; goes: string } | undefined,
): DayHours[] {
  const rest = days.filter((one) => !on.has(one.weekday));
  const told = hours ? [...on].map((weekday) => ({ weekday, ...hours })) : [];
  return [...rest, ...told].sort((one, other) => one.weekday - other.weekday);
}
