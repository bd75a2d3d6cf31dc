/** Who does what today, when is it done, and what would change that? */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { actsOf, machines, plan, pullPlan, pullWhatIf, type Plan } from '../models/plan';
import { LinkRow } from '../parts/link-row';
import { PlanDates, WhatIfTable } from '../parts/plan-dates';
import { PlanDay } from '../parts/plan-day';
import { PlanStrip } from '../parts/plan-strip';
import { say } from '../words/say';
import { when } from '../words/times';
import '../styles/plan.css';

const HOUR_MS = 3_600_000;
const BACK_MS = 2 * HOUR_MS;
const AHEAD_MS = 72 * HOUR_MS;
const SOON_MS = 4000;

export default function PlanRoom() {
  const heard = useSignal(true);
  const pull = async () => {
    heard.value = await pullPlan();
    if (heard.value) await pullWhatIf().catch(() => undefined);
  };
  useEffect(() => void pull(), [minute.value]);
  const told = plan.value;
  const making = told?.stale ?? false;
  useEffect(() => {
    if (!making) return undefined;
    const timer = setInterval(() => void pull(), SOON_MS);
    return () => clearInterval(timer);
  }, [making]);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.plan')}</h1>
      {!heard.value && <p role="status">{say('plan.kept_here')}</p>}
      {told && <Told told={told} onTold={pull} />}
      <LinkRow href="/plan/route" title={say('plan.route')} note={say('plan.route_note')} />
      <p class="soft">{say('app.limits')}</p>
    </main>
  );
}

function Told({ told, onTold }: { told: Plan; onTold: () => void }) {
  const quiet = told.people.every((own) => own.today.length === 0);
  return (
    <>
      <p class="soft" role="status">
        {told.stale
          ? say('plan.making')
          : told.made_at && say('plan.made', { at: when(told.made_at, minute.value) })}
      </p>
      {told.trouble && <p role="alert">{told.trouble}</p>}
      {[...told.conflicts, ...told.given_up].map((one, i) => (
        <p class="notice" role="alert" key={i}>
          {one.says}
        </p>
      ))}
      {told.batches.length === 0 && told.conflicts.length === 0 && <p>{say('plan.none')}</p>}
      {told.batches.length > 0 && quiet && <p>{say('plan.nothing_to_do')}</p>}
      {told.people.map((own) => (
        <PlanDay key={own.person.id} told={told} own={own} onTold={onTold} />
      ))}
      {told.batches.map((dates) => (
        <PlanDates key={dates.batch.id} dates={dates} onTold={onTold} />
      ))}
      {told.batches.length > 0 && <Picture told={told} />}
      <WhatIfTable />
      <Minutes told={told} />
      {told.batches.length > 0 && (
        <a class="quiet" href="/api/plan/day-sheet" target="_blank" rel="noopener">
          {say('plan.day_sheet')}
        </a>
      )}
    </>
  );
}

/** A strip for each pair of hands and each machine, three days on, what cures as their ground. */
function Picture({ told }: { told: Plan }) {
  const now_ms = minute.value;
  const reach = { from_ms: now_ms - BACK_MS, to_ms: now_ms + AHEAD_MS, now_ms };
  return (
    <section class="stack">
      <h2 class="part-head">{say('plan.picture')}</h2>
      <p class="soft">{say('plan.picture_note')}</p>
      {told.people.map((own) => (
        <figure class="plan-figure" key={own.person.id}>
          <figcaption>{own.person.name}</figcaption>
          <PlanStrip
            label={say('plan.strip', { name: own.person.name })}
            acts={actsOf(told, { person: own.person.id })}
            waits={told.waits}
            there={own.there}
            {...reach}
          />
        </figure>
      ))}
      {machines(told).map((machine) => (
        <figure class="plan-figure" key={machine}>
          <figcaption>{machine}</figcaption>
          <PlanStrip
            whole
            label={say('plan.strip', { name: machine })}
            acts={actsOf(told, { machine })}
            waits={told.waits}
            {...reach}
          />
        </figure>
      ))}
    </section>
  );
}

/** Minutes as planned, and as they were. */
function Minutes({ told }: { told: Plan }) {
  const seen = told.minutes.filter((one) => one.actual_min !== null);
  if (seen.length === 0) return null;
  return (
    <details>
      <summary class="quiet">{say('plan.minutes')}</summary>
      <table class="plan-table">
        <thead>
          <tr>
            <th scope="col">{say('plan.minutes.step')}</th>
            <th scope="col">{say('plan.minutes.planned')}</th>
            <th scope="col">{say('plan.minutes.actual')}</th>
          </tr>
        </thead>
        <tbody>
          {seen.map((one) => (
            <tr key={`${one.batch.id}${one.step}`}>
              <th scope="row">{say('plan.of', { step: one.step, batch: one.batch.name })}</th>
              <td>{say('time.minutes', { minutes: one.planned_min })}</td>
              <td>{say('time.minutes', { minutes: one.actual_min ?? 0 })}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
