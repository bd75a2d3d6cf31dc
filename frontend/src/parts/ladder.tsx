/** The gates of a wait in the order they come, numbered as on its night strip. */
import { minute } from '../models/clock';
import { barredByDoubt, doubted, forbids } from '../models/doubt';
import { actingFigure, isShown } from '../models/strip';
import { shortTags } from '../models/tags';
import type { Gate, Group } from '../models/view';
import { say, word } from '../words/say';
import { when } from '../words/times';
import { Sign, type SignKind } from './sign';

/** Reached so long ago that the server sends no figure any more. */
const LONG_PAST = new Set(['reached', 'ask', 'shut']);

export function Ladder({ group }: { group: Group }) {
  const order = (gate: Gate) => Date.parse(actingFigure(gate) ?? '9999-01-01T00:00:00Z');
  const gates = group.gates.filter(isShown).sort((one, other) => order(one) - order(other));
  if (!gates.length) return null;
  let number = 0;
  return (
    <section>
      <h2 class="part-head">{say('wait.ladder')}</h2>
      <ol class="ladder">
        {gates.map((gate) => {
          if (barredByDoubt(group, gate)) return <Barred key={gate.kind} gate={gate} />;
          const marked = gate.opens && actingFigure(gate) !== null;
          if (marked) number += 1;
          return (
            <Rung
              key={gate.kind}
              gate={gate}
              number={marked ? number : undefined}
              without={forbids(gate) ? doubted(group) : []}
            />
          );
        })}
      </ol>
      {gates.some((gate) => gate.hurts) && <p class="soft">{say('app.limits')}</p>}
    </section>
  );
}

/** A doubt stands against all of it: no time is told, for none clears it. */
function Barred({ gate }: { gate: Gate }) {
  return (
    <li class="rung">
      <span class="rung-number" />
      <div class="rung-head">
        <p class="rung-name">
          <Sign kind="stop" />
          <b>{word(`gate.${gate.kind}.name`)}</b>
        </p>
        <p class="rung-at rung-no">{say('wait.barred')}</p>
      </div>
      <p class="rung-more soft">{say('wait.barred_until')}</p>
    </li>
  );
}

interface RungProps {
  gate: Gate;
  number: number | undefined;
  /** Pieces that a doubt stands against. */
  without: readonly string[];
}

function Rung({ gate, number, without }: RungProps) {
  const now = minute.value;
  const acts = actingFigure(gate);
  const past = acts === null ? LONG_PAST.has(gate.state) : Date.parse(acts) <= now;
  return (
    <li class={past ? 'rung rung-past' : 'rung'}>
      <span class="rung-number">{number}</span>
      <div class="rung-head">
        <p class="rung-name">
          <Sign kind={signOf(gate, past)} />
          <b>{word(`gate.${gate.kind}.name`)}</b>
        </p>
        <p class="rung-at">
          {acts ? (
            <>
              <span class="soft">{atWord(gate, past)}</span>{' '}
              <time>{when(acts, now, gate.opens ? 'up' : 'down')}</time>
            </>
          ) : (
            say(past ? 'wait.long_past' : 'time.never')
          )}
        </p>
      </div>
      <p class="rung-more soft figures">
        {past && !gate.opens ? '' : word(`gate.${gate.kind}.permits`)}
        {!past && <span class="rung-figures">{asides(gate, now).join(' · ')}</span>}
      </p>
      {without.length > 0 && (
        <p class="rung-more line-when">
          <Sign kind="stop" />
          <span>{say('wait.barred_some', { tags: shortTags(without) })}</span>
        </p>
      )}
    </li>
  );
}

/** A gate that can hurt is never shown as open by itself: yes is asked for, piece by piece. */
function signOf(gate: Gate, past: boolean): SignKind {
  if (!gate.opens) return past ? 'stop' : 'heed';
  if (gate.hurts) return past ? 'unsure' : 'stop';
  return past ? 'may' : 'wait';
}

function atWord(gate: Gate, past: boolean): string {
  if (!gate.opens) return say(past ? 'wait.shut' : 'wait.closes');
  if (gate.hurts) return say('wait.sure_word');
  return say(past ? 'wait.open' : 'wait.opens');
}

function asides(gate: Gate, now: number): string[] {
  const found: string[] = [];
  if (gate.bare) found.push(say('wait.bare', { at: when(gate.bare, now) }));
  if (gate.check_from && !gate.hurts)
    found.push(say('wait.check', { at: when(gate.check_from, now) }));
  if (gate.sure && !gate.hurts) found.push(say('wait.sure', { at: when(gate.sure, now, 'up') }));
  const { first, last } = gate.acts;
  if (first && last && first !== last) {
    const way = gate.opens ? 'up' : 'down';
    found.push(say('wait.first', { first: when(first, now, way), last: when(last, now, way) }));
  }
  if (gate.between) found.push(say('wait.between'));
  return found;
}
