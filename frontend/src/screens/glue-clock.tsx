/** How long before it skins, and the one tap that starts the cure. */
import { useLocation, useRoute } from 'preact-iso';
import { sameAgain } from '../models/again';
import { tellAgain } from '../models/carried';
import { second } from '../models/clock';
import { alarmsOf, countdown, ruling, stageOf, type Alarm, type Stage } from '../models/glue-clock';
import { gateOf } from '../models/own-lines';
import { group as groupOf, mayRecord, view } from '../models/shop';
import { tagsBeside } from '../models/tags';
import { tell } from '../models/tell';
import type { Group } from '../models/view';
import { Ago } from '../parts/ago';
import { isKeptAwake } from '../parts/awake';
import { Missing } from '../parts/missing';
import { Sign, type SignKind } from '../parts/sign';
import { Tape } from '../parts/tape';
import { say, type Key } from '../words/say';
import { clock, when } from '../words/times';

const SIGNS: Record<Stage, SignKind> = {
  plenty: 'may',
  two: 'unsure',
  one: 'heed',
  half: 'heed',
  over: 'stop',
};

export function GlueClock() {
  const { params } = useRoute();
  const group = groupOf(params.id ?? '');
  if (!group) return <Missing />;
  const first = ruling(alarmsOf([group]), group.id, second.value);
  const tags = group.pieces.map((piece) => piece.tag);
  const wiping = group.kind === 'coat';
  return (
    <main class="room clock-room" id="main">
      <h1>
        {group.name} <span class="soft">{tagsBeside(group.name, tags)}</span>
      </h1>
      {first ? <Face alarm={first} group={group} wiping={wiping} /> : <Still group={group} />}
      {mayRecord.value && <Taps group={group} />}
      {mayRecord.value && <Ago />}
      {first && <p class="soft">{say(isKeptAwake.value ? 'clock.awake' : 'clock.asleep')}</p>}
    </main>
  );
}

/** The figure, and a pool that sinks as the time goes; at two, one and a half its shape changes. */
function Face({ alarm, group, wiping }: { alarm: Alarm; group: Group; wiping: boolean }) {
  const left_ms = alarm.at_ms - second.value;
  const stage = stageOf(Math.ceil(left_ms / 1000));
  const whole_ms = alarm.at_ms - Date.parse(group.began_at);
  const part = Math.max(0, Math.min(1, left_ms / whole_ms));
  const key = (wiping ? `clock.wipe.${stage}` : `clock.${stage}`) as Key;
  return (
    <section class={`face face-${stage}`}>
      <svg class="face-pool" viewBox="0 0 100 100" preserveAspectRatio="none" aria-hidden="true">
        <path d={poolShape(stage, 100 - part * 100)} />
      </svg>
      <p class="face-kind">{say(kindWord(alarm.kind))}</p>
      <p class="face-left" role="timer">
        <time>{countdown(left_ms)}</time>
      </p>
      <p class="face-word">
        <Sign kind={SIGNS[stage]} /> <span>{say(key)}</span>
      </p>
      <p class="face-then">{thenWords(group, stage, wiping)}</p>
    </section>
  );
}

function kindWord(kind: string): Key {
  if (kind === 'open_time') return 'clock.open';
  return kind === 'wipe_off' ? 'clock.wipe' : 'clock.assembly';
}

function thenWords(group: Group, stage: Stage, wiping: boolean): string {
  if (wiping) return stage === 'over' ? say('clock.wipe.over_note') : '';
  if (stage === 'over') return say('clock.over_note');
  const open = gateOf(group, 'open_time')?.acts.first;
  if (group.state === 'spreading' && open && Date.parse(open) <= second.value) {
    return say('clock.open_over', { at: clock(open, 'down') });
  }
  const tight = gateOf(group, 'total_assembly')?.acts.first;
  return tight ? say('clock.tight_by', { at: clock(tight, 'down') }) : '';
}

/** The top of the pool: calm, then waves, then teeth. */
function poolShape(stage: Stage, top: number): string {
  const teeth = { plenty: 0, two: 4, one: 8, half: 14, over: 14 }[stage];
  if (!teeth) return `M0 ${top}H100V100H0z`;
  const wide = 100 / teeth;
  const high = stage === 'two' ? 3 : 6;
  let edge = `M0 ${top}`;
  for (let i = 0; i < teeth; i += 1) {
    edge += `L${(wide * (i + 0.5)).toFixed(2)} ${top - high}L${(wide * (i + 1)).toFixed(2)} ${top}`;
  }
  return `${edge}V100H0z`;
}

function Still({ group }: { group: Group }) {
  const off = gateOf(group, 'clamps_off') ?? gateOf(group, 'clamps_off_stressed');
  if (group.state === 'spreading' || group.state === 'closed')
    return <p>{say('clock.no_limit')}</p>;
  if (!off?.acts.last) return <p>{say('clock.not_running')}</p>;
  return (
    <section class="still">
      <p class="verb">{say('gate.clamps_off.act')}</p>
      <p class="still-at">{when(off.acts.last, second.value, 'up')}</p>
      <a class="quiet" href={`/wait/${group.id}`}>
        {say('app.open', { what: group.name })}
      </a>
    </section>
  );
}

function Taps({ group }: { group: Group }) {
  const { route } = useLocation();
  const next = view.value && sameAgain(view.value, group);
  if (group.state === 'spreading' || group.state === 'closed') {
    return (
      <>
        <Tape
          wide
          verb={say('tap.pressure_on')}
          onTap={() => tell('pressure_on', { glue_up: group.id })}
        />
        {group.state === 'spreading' && (
          <Tape verb={say('tap.closed')} onTap={() => tell('closed', { glue_up: group.id })} />
        )}
      </>
    );
  }
  if (group.state === 'drying' && gateOf(group, 'wipe_off')) {
    return <Tape wide verb={say('tap.wiped')} onTap={() => tell('wiped', { coat: group.id })} />;
  }
  if (group.kind !== 'glue_up' || !next) return null;
  const again = async () => {
    const id = await tellAgain(next);
    if (id) route(`/glue/${id}`);
  };
  return <Tape wide verb={say('tap.again')} note={next.spread.name} onTap={again} />;
}
