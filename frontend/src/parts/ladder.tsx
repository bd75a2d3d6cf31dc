/** The gates of a wait in the order they come, numbered as on its night strip. */
import { minute } from '../models/clock';
import { actingFigure, isShown } from '../models/strip';
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
          if (gate.opens && actingFigure(gate)) number += 1;
          return (
            <Rung
              key={gate.kind}
              gate={gate}
              number={gate.opens && actingFigure(gate) ? number : undefined}
            />
          );
        })}
      </ol>
    </section>
  );
}

function Rung({ gate, number }: { gate: Gate; number: number | undefined }) {
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
        {[
          past && !gate.opens ? '' : word(`gate.${gate.kind}.permits`),
          asides(gate, now).join(' · '),
        ]
          .filter(Boolean)
          .join(' ')}
      </p>
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
