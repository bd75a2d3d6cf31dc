/** When it is done, likely and surely; can it be promised, and what would help. */
import { useSignal } from '@preact/signals';
import { minute } from '../models/clock';
import { askDay, whatIf, type ByDay, type Change, type Dates, type WhatIf } from '../models/plan';
import { mayRecord } from '../models/shop';
import { tell } from '../models/tell';
import { say, word } from '../words/say';
import { day, when } from '../words/times';
import { Sign, type SignKind } from './sign';
import { Tape } from './tape';

const SIGNS: Record<string, SignKind> = {
  sure: 'may',
  likely: 'may',
  doubtful: 'heed',
  late: 'stop',
};

export function PlanDates({ dates, onTold }: { dates: Dates; onTold: () => void }) {
  const now = minute.value;
  return (
    <section class="stack">
      <h2 class="part-head">{dates.batch.name}</h2>
      <p class="plan-date">
        {say('plan.likely', { at: when(dates.likely, now, 'up') })}
        <span class="soft"> {say('plan.safe', { at: when(dates.safe, now, 'up') })}</span>
      </p>
      <p>{rulesWords(dates.rules)}</p>
      {dates.promised && (
        <p class="line-when">
          <Sign kind={SIGNS[dates.kept] ?? 'unsure'} />{' '}
          {word(`plan.kept.${dates.kept}`, {
            day: day(dates.promised),
            done: dates.by_promise ?? 0,
            count: dates.count,
          })}
        </p>
      )}
      <AskDay dates={dates} onTold={onTold} />
    </section>
  );
}

function rulesWords(rules: Dates['rules']): string {
  const name = word(`gate.${rules.name}.name`, {}, rules.name);
  return word(`plan.ruler.${rules.ruler}`, { name, step: rules.step });
}

/** Two touches: the day, and the question. */
function AskDay({ dates, onTold }: { dates: Dates; onTold: () => void }) {
  const day = useSignal('');
  const answer = useSignal<ByDay | undefined>(undefined);
  const failed = useSignal(false);
  const ask = async () => {
    failed.value = false;
    answer.value = undefined;
    try {
      answer.value = await askDay(dates.batch.id, day.value);
    } catch {
      failed.value = true;
    }
  };
  const promise = async () => {
    if (await tell('promise_made', { batch: dates.batch.id, day: day.value })) onTold();
  };
  return (
    <div class="stack">
      <label class="field">
        <span>{say('plan.by_day')}</span>
        <input
          type="date"
          value={day.value}
          onInput={(event) => {
            day.value = event.currentTarget.value;
            if (day.value) void ask();
          }}
        />
      </label>
      {failed.value && <p role="alert">{say('plan.needs_signal')}</p>}
      {answer.value && (
        <div class="stack" role="status">
          <p class="line-when">
            <Sign kind={SIGNS[answer.value.kept] ?? 'unsure'} />{' '}
            {word(`plan.by.${answer.value.kept}`, {
              done: answer.value.done_likely,
              count: answer.value.count,
            })}
          </p>
          {answer.value.better.map((one, i) => (
            <p key={i}>
              {say('plan.better', {
                done: one.done,
                count: answer.value?.count ?? 0,
                change: changeWords(one.change),
              })}
            </p>
          ))}
          {mayRecord.value && <Tape verb={say('plan.promise')} note={day.value} onTap={promise} />}
        </div>
      )}
    </div>
  );
}

export function changeWords(change: Change): string {
  return word(`plan.change.${change.kind}`, {
    name: change.name,
    batch: change.batch,
    step: change.step,
    count: change.count ?? 1,
    day: change.day ?? '',
  });
}

export function WhatIfTable() {
  const rows = whatIf.value;
  if (rows.length === 0) return null;
  return (
    <section class="stack">
      <h2 class="part-head">{say('plan.what_if')}</h2>
      <table class="plan-table">
        <thead>
          <tr>
            <th scope="col">{say('plan.what_if.change')}</th>
            <th scope="col">{say('plan.what_if.then')}</th>
            <th scope="col">{say('plan.what_if.sooner')}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row, i) => (
            <WhatIfRow key={i} row={row} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function WhatIfRow({ row }: { row: WhatIf }) {
  const then = row.batches.map((one) => when(one.planned, minute.value, 'up')).join(', ');
  const sooner = row.sooner_h ?? 0;
  return (
    <tr>
      <th scope="row">{changeWords(row.change)}</th>
      <td>{row.impossible[0] ?? then}</td>
      <td>{sooner > 0 ? say('plan.sooner', { hours: sooner }) : say('plan.no_sooner')}</td>
    </tr>
  );
}
