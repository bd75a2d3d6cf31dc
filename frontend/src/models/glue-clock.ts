/** How long before it skins: the open clock of a glue-up, and the alarms of everything that runs out. */
import type { Group } from './view';

export type Stage = 'plenty' | 'two' | 'one' | 'half' | 'over';
export interface Alarm {
  group: string;
  kind: string;
  at_ms: number;
}

/** What is counted down in each state; the tighter of two comes first. */
const RUNS: Partial<Record<Group['state'], string[]>> = {
  spreading: ['open_time', 'total_assembly'],
  closed: ['total_assembly'],
  drying: ['wipe_off'],
  coating: ['wipe_off'],
};
const STAGES: [number, Stage][] = [
  [0, 'over'],
  [30, 'half'],
  [60, 'one'],
  [120, 'two'],
];
export const CALLS_S = [120, 60, 30, 0];

export function alarmsOf(groups: readonly Group[]): Alarm[] {
  return groups.flatMap((group) =>
    (RUNS[group.state] ?? []).flatMap((kind) => {
      const gate = group.gates.find((one) => one.kind === kind && !one.over);
      const at = gate?.acts.first;
      return at ? [{ group: group.id, kind, at_ms: Date.parse(at) }] : [];
    }),
  );
}

export function stageOf(left_s: number): Stage {
  return STAGES.find(([from_s]) => left_s <= from_s)?.[1] ?? 'plenty';
}

export interface Call {
  alarm: Alarm;
  left_s: number;
}

/** The calls that fall between two ticks, each once; of several missed ones only the last. */
export function callsBetween(alarms: readonly Alarm[], from_ms: number, to_ms: number): Call[] {
  return alarms.flatMap((alarm) => {
    const passed = CALLS_S.filter((left_s) => {
      const call_ms = alarm.at_ms - left_s * 1000;
      return from_ms < call_ms && call_ms <= to_ms;
    });
    return passed.length ? [{ alarm, left_s: Math.min(...passed) }] : [];
  });
}

/** Of one group's alarms the one to show: the next to come, or the last that has gone. */
export function ruling(alarms: readonly Alarm[], group: string, at_ms: number): Alarm | undefined {
  const own = alarms
    .filter((alarm) => alarm.group === group)
    .sort((one, other) => one.at_ms - other.at_ms);
  return own.find((alarm) => alarm.at_ms > at_ms) ?? own.at(-1);
}

/** Worth keeping the screen awake for: it runs out within the half hour, or just has. */
export function pressing(alarms: readonly Alarm[], at_ms: number): Alarm[] {
  return alarms
    .filter((alarm) => alarm.at_ms - at_ms < 30 * 60_000 && at_ms - alarm.at_ms < 10 * 60_000)
    .sort((one, other) => one.at_ms - other.at_ms);
}

/** Minutes and seconds left, "-0:12" once it is over. */
export function countdown(left_ms: number): string {
  const whole_s = Math.floor(Math.abs(left_ms) / 1000);
  const text = `${Math.floor(whole_s / 60)}:${String(whole_s % 60).padStart(2, '0')}`;
  return left_ms < 0 && whole_s > 0 ? `−${text}` : text;
}
