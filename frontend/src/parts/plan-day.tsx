/** What one pair of hands does: now, today, before going home, and when nothing is to be done. */
import { minute } from '../models/clock';
import { nowFor, woodAfter, type Act, type Cure, type PersonPlan, type Plan } from '../models/plan';
import { mayRecord } from '../models/shop';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { count, say, word } from '../words/say';
import { clock, span, when } from '../words/times';
import { Tape } from './tape';

const HOUR_MS = 3_600_000;

interface Props {
  told: Plan;
  own: PersonPlan;
  onTold: () => void;
}

export function PlanDay({ told, own, onTold }: Props) {
  if (own.today.length === 0) return null;
  return (
    <section class="stack">
      <h2 class="part-head">{own.person.name}</h2>
      <NowDo told={told} own={own} onTold={onTold} />
      <ol class="plan-list">
        {own.today.map((act, number) => (
          <Line
            key={`${act.batch.id}${act.step}${act.first}`}
            act={act}
            wood={woodAfter(told, act)}
            night={own.before_home.includes(number)}
          />
        ))}
      </ol>
      {own.before_home.length > 0 && (
        <p>
          <b>{say('plan.before_home')}</b>{' '}
          {own.before_home
            .map((number) => own.today[number])
            .filter((act) => act !== undefined)
            .map((act) => say('plan.of', { step: act.step, batch: act.batch.name }))
            .filter((said, i, all) => all.indexOf(said) === i)
            .join(', ')}
        </p>
      )}
      {own.idle.length > 0 && (
        <p class="soft">
          {say('plan.idle', {
            gaps: own.idle.map((gap) => `${clock(gap.from)}–${clock(gap.to)}`).join(', '),
          })}
        </p>
      )}
    </section>
  );
}

/** The largest word on the page: what to do now, and one touch to say that it began or is over. */
function NowDo({ told, own, onTold }: Props) {
  const { at, next } = nowFor(told, own);
  const finish = (go: string) => async () => {
    if (await tell('step_finished', { go })) onTold();
  };
  const begin = (act: Act) => async () => {
    const said = {
      go: newId(),
      batch: act.batch.id,
      step: act.step,
      pieces: act.pieces,
      people: [own.person.id],
    };
    if (await tell('step_started', said)) onTold();
  };
  return (
    <div class="stack">
      {at.map((one) => (
        <div class="plan-now" key={one.go}>
          <p>
            <span class="plan-verb">{one.step}</span>{' '}
            {say('plan.since', { batch: one.batch.name, at: when(one.began, minute.value) })}
          </p>
          {mayRecord.value && (
            <Tape verb={say('plan.over')} about={one.step} onTap={finish(one.go)} />
          )}
        </div>
      ))}
      {next && (
        <div class="plan-now">
          <p>
            <span class="plan-verb">{next.step}</span> {which(next)}
            <span class="soft"> {when(next.starts, minute.value)}</span>
            {next.ask && <b class="plan-why">{say('plan.ask')}</b>}
          </p>
          {mayRecord.value && (
            <Tape verb={say('plan.begin')} about={next.step} onTap={begin(next)} />
          )}
        </div>
      )}
    </div>
  );
}

interface LineProps {
  act: Act;
  wood: Cure | undefined;
  night: boolean;
}

function Line({ act, wood, night }: LineProps) {
  return (
    <li class={act.begun ? 'plan-line plan-begun' : 'plan-line'}>
      <time>{clock(act.starts)}</time>
      <span>
        <b class={night ? 'plan-night' : undefined}>{act.step}</b> {which(act)}
        {act.machine && <span class="soft"> {act.machine}</span>}
        <span class="plan-why soft">{reasonOf(act)}</span>
        {wood && <span class="plan-why soft">{woodWords(wood)}</span>}
      </span>
      <span class="soft">{span(Date.parse(act.hands_free) - Date.parse(act.starts))}</span>
    </li>
  );
}

function which(act: Act): string {
  return count('plan.pieces', act.pieces, { batch: act.batch.name });
}

function woodWords({ wood, lag_h = 0 }: Cure): string {
  return word(`plan.wood.${wood}`, { lag: span(lag_h * HOUR_MS) });
}

export function reasonOf(act: Act): string {
  const at = act.why.at ? when(act.why.at, minute.value, act.why.key === 'closes' ? 'down' : 'up') : '';
  const name = word(`gate.${act.why.name}.name`, {}, act.why.name);
  const why = act.why.key === 'next' ? '' : word(`plan.why.${act.why.key}`, { at, name });
  const ask = act.ask ? say('plan.ask') : '';
  return [ask, why, act.late ? say('plan.late') : '', act.rules ? say('plan.rules') : '']
    .filter((one) => one)
    .join(' ');
}
