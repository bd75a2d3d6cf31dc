/** The alarms of the open page: they count aloud on every screen, with or without a signal. */
import { useSignalEffect } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { useRef } from 'preact/hooks';
import { inShopHours, newlyDue } from '../models/bell';
import { minute, second } from '../models/clock';
import {
  alarmsOf,
  callsBetween,
  countdown,
  pressing,
  ruling,
  stageOf,
  type Call,
} from '../models/glue-clock';
import { settings } from '../models/settings';
import { group as groupOf, list, served, view } from '../models/shop';
import type { NowList } from '../models/view';
import { actWord, say, word } from '../words/say';
import { keepAwake } from './awake';
import { Sign } from './sign';
import { sayAloud } from './voice';

/** How often a tone sounds for each call, where there is no voice. */
const TONES: Record<number, number> = { 120: 1, 60: 2, 30: 3, 0: 5 };

export function Alarms() {
  const { path } = useLocation();
  const last_ms = useRef(second.peek());
  useSignalEffect(() => {
    const now_ms = second.value;
    const alarms = alarmsOf(view.value?.groups ?? []);
    keepAwake(settings.value.bell || pressing(alarms, now_ms).length > 0);
    if (settings.value.voice) callsBetween(alarms, last_ms.current, now_ms).forEach(call);
    last_ms.current = now_ms;
  });
  useBell();
  const running = pressing(alarmsOf(view.value?.groups ?? []), second.value);
  const groups = new Set(running.map((alarm) => alarm.group));
  const shown = [...groups].filter((group) => path !== `/glue/${group}`);
  return (
    <>
      {shown.map((group) => {
        const alarm = ruling(running, group, second.value)!;
        const left_ms = alarm.at_ms - second.value;
        const stage = stageOf(Math.ceil(left_ms / 1000));
        return (
          <a class={`alarm alarm-${stage}`} href={`/glue/${alarm.group}`} key={alarm.group}>
            <Sign kind={stage === 'plenty' ? 'wait' : stage === 'over' ? 'stop' : 'heed'} />
            <span>
              <b>{word(`gate.${alarm.kind}.act`)}</b>
              <span class="soft"> {groupOf(alarm.group)?.name}</span>
            </span>
            <time>{countdown(left_ms)}</time>
          </a>
        );
      })}
    </>
  );
}

function call({ alarm, left_s }: Call): void {
  sayAloud(word(`say.${alarm.kind}.${left_s}`, {}, say('clock.assembly')), TONES[left_s] ?? 1);
}

/** Says aloud what has become due since the last look, where this is the shop bell. */
function useBell(): void {
  const before = useRef<NowList | undefined>(undefined);
  useSignalEffect(() => {
    const after = list.value;
    const shop = served.value?.workshop;
    const due = newlyDue(before.current, after);
    if (shop) before.current = after;
    if (!settings.value.bell || !shop || !inShopHours(shop, minute.peek())) return;
    for (const line of due) sayAloud(`${actWord(line.act)}. ${line.name || line.place}.`, 2);
  });
}
