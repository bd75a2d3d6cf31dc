/** Times as people say them: in the shop's zone and the person's locale, rounded the safe way. */
import { computed, signal } from '@preact/signals';
import { settings } from '../models/settings';
import { language, say } from './say';

export type Round = 'up' | 'down';
const MINUTE_MS = 60_000;
const DAY_MS = 24 * 60 * MINUTE_MS;

export const zone = signal('UTC');
/** The person's own locale where it is one of the chosen language, so that 24 h stays 24 h. */
const locale = computed(() => {
  const own = typeof navigator === 'undefined' ? '' : navigator.language;
  return own.startsWith(language.value) ? own : language.value;
});

const formats = computed(() => {
  const make = (options: Intl.DateTimeFormatOptions) =>
    new Intl.DateTimeFormat(locale.value, { timeZone: zone.value, ...options });
  return {
    clock: make({ hour: 'numeric', minute: '2-digit', ...hourCycle() }),
    weekday: make({ weekday: 'short' }),
    weekday_utc: new Intl.DateTimeFormat(locale.value, { timeZone: 'UTC', weekday: 'short' }),
    date: make({ weekday: 'short', day: 'numeric', month: 'short' }),
    day: new Intl.DateTimeFormat('en-CA', { timeZone: zone.value }),
    wall: new Intl.DateTimeFormat('sv-SE', {
      timeZone: zone.value,
      dateStyle: 'short',
      timeStyle: 'medium',
    }),
    hour: new Intl.DateTimeFormat('en-GB', { timeZone: zone.value, hour: '2-digit' }),
  };
});

/** By 24 hours the first of the day is 00, not 24; leading noughts only there. */
function hourCycle(): Intl.DateTimeFormatOptions {
  const { hours } = settings.value;
  const own = new Intl.DateTimeFormat(locale.value, { hour: 'numeric' }).resolvedOptions();
  const twelve = hours === 'auto' ? own.hour12 === true : hours === '12';
  return twelve
    ? { hour: 'numeric', hourCycle: 'h12' }
    : { hour: '2-digit', hourCycle: 'h23' };
}

/** To the whole minute: what opens is shown later, what closes sooner, never the other way. */
export function rounded(at: string | number, way: Round): Date {
  const ms = typeof at === 'number' ? at : Date.parse(at);
  const whole = way === 'up' ? Math.ceil(ms / MINUTE_MS) : Math.floor(ms / MINUTE_MS);
  return new Date(whole * MINUTE_MS);
}

export function clock(at: string | number, way: Round = 'down'): string {
  return formats.value.clock.format(rounded(at, way));
}

/** "14:07" today, "Fri 14:07" within the week, "Fri 19 Feb, 14:07" beyond. */
export function when(at: string | number, now_ms: number, way: Round = 'down'): string {
  const moment = rounded(at, way);
  const time = formats.value.clock.format(moment);
  const apart = daysApart(moment.getTime(), now_ms);
  if (apart === 0) return time;
  const day = Math.abs(apart) < 7 ? formats.value.weekday : formats.value.date;
  return say('time.day', { day: day.format(moment), time });
}

/** When it is by a date and time as typed, "2027-02-19T14:07": in the shop's zone, whatever the phone's. */
export function instantOf(typed: string): number | undefined {
  const wall_ms = Date.parse(`${typed}Z`);
  if (Number.isNaN(wall_ms)) return undefined;
  const near_ms = wall_ms - aheadOfUtc(wall_ms);
  return wall_ms - aheadOfUtc(near_ms); // once more: clocks may have changed between the two
}

function aheadOfUtc(at_ms: number): number {
  return Date.parse(`${formats.value.wall.format(at_ms).replace(' ', 'T')}Z`) - at_ms;
}

export function weekday(at: number): string {
  return formats.value.weekday.format(new Date(at));
}

/** A day told without a time, "Fri 19 Feb 2027": that day wherever it is read. */
export function day(told: string): string {
  const options = { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' } as const;
  return new Intl.DateTimeFormat(locale.value, { timeZone: 'UTC', ...options }).format(
    new Date(`${told}T00:00:00Z`),
  );
}

/** "Mon" for 0, as the server counts the days of a week. */
export function weekdayName(monday_0: number): string {
  return formats.value.weekday_utc.format(Date.UTC(2024, 0, 1 + monday_0));
}

/** The day of an instant in the shop's zone, as 2026-02-05. */
export function dayOf(at: number): string {
  return formats.value.day.format(new Date(at));
}

export function hourOf(at: number): number {
  return Number(formats.value.hour.format(new Date(at)));
}

function daysApart(one_ms: number, other_ms: number): number {
  return Math.round((Date.parse(dayOf(one_ms)) - Date.parse(dayOf(other_ms))) / DAY_MS);
}

/** "25 min", "2 h 40", "3 d 4 h". */
export function span(ms: number): string {
  const minutes = Math.max(0, Math.round(ms / MINUTE_MS));
  if (minutes < 60) return say('time.minutes', { minutes });
  const [hours, rest] = [Math.floor(minutes / 60), String(minutes % 60).padStart(2, '0')];
  if (hours < 48) return say('time.hours', { hours, minutes: rest });
  return say('time.days', { days: Math.floor(hours / 24), hours: hours % 24 });
}

export function hours(told_h: number): string {
  const digits = told_h < 10 ? 2 : 1;
  return new Intl.NumberFormat(locale.value, { maximumFractionDigits: digits }).format(told_h);
}

/** To make one takes longer than to use it. */
const decimals = computed(() => ({
  locale: locale.value,
  made: new Map<number, Intl.NumberFormat>(),
}));

export function number(value: number, digits: number): string {
  const { locale, made } = decimals.value;
  const exactly = { minimumFractionDigits: digits, maximumFractionDigits: digits };
  const format = made.get(digits) ?? new Intl.NumberFormat(locale, exactly);
  made.set(digits, format);
  return format.format(value);
}
