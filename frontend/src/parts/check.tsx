/** Go, go with care, or not now; each reason in a line that opens its sum. */
import type { Signal } from '@preact/signals';
import { useSignal } from '@preact/signals';
import { HANDS, hands, shape, SHAPES, type CheckTold } from '../models/check';
import { AskFailed } from '../sync/ask';
import { say, word } from '../words/say';
import { Choose } from './choose';
import { Figure } from './figure';
import { Fold } from './fold';
import { Sign, type SignKind } from './sign';

interface Props {
  /** Where the answer is kept, so that the start can tie up what it names. */
  told: Signal<CheckTold | undefined>;
  disabled: boolean;
  ask: () => Promise<CheckTold>;
}

const SIGNS: Record<string, SignKind> = { go: 'may', care: 'heed', not_now: 'stop', note: 'kept' };

export function Check({ told, disabled, ask }: Props) {
  const trouble = useSignal('');
  const tap = async () => {
    trouble.value = '';
    try {
      told.value = await ask();
    } catch (cause) {
      told.value = undefined;
      const problem = cause instanceof AskFailed ? cause.problem : undefined;
      trouble.value = problem?.detail || say('check.needs_signal');
    }
  };
  return (
    <section class="stack" aria-live="polite">
      <button type="button" class="quiet" disabled={disabled} onClick={() => void tap()}>
        {say('check.first')}
      </button>
      {trouble.value && <p role="alert">{trouble.value}</p>}
      {told.value && <Answer told={told.value} />}
    </section>
  );
}

function Answer({ told }: { told: CheckTold }) {
  return (
    <>
      <h2 class="verb">
        <Sign kind={SIGNS[told.word]!} /> {told.says}
      </h2>
      <ul class="also">
        {told.lines.map((line, at) => (
          <li key={`${line.key}${at}`}>
            <details>
              <summary class="quiet">
                <Sign kind={SIGNS[line.word]!} /> {line.says}
              </summary>
              {line.sum.map((step) => (
                <p key={step} class="soft">
                  {step}
                </p>
              ))}
            </details>
          </li>
        ))}
      </ul>
      {told.instead.length > 0 && (
        <>
          <h3 class="part-head">{say('check.instead')}</h3>
          <ul class="also">
            {told.instead.map((one) => (
              <li key={`${one.what}${one.name}`}>{one.says}</li>
            ))}
          </ul>
        </>
      )}
    </>
  );
}

/** A dry run, and how one piece is glued: folded away until it is wanted. */
export function Describe() {
  const kind = shape.value.kind;
  return (
    <Fold title={say('check.describe')}>
      {() => (
        <div class="stack">
          {HANDS.map((name) => (
            <Figure
              key={name}
              label={`check.hands.${name}`}
              value={hands.value[name]}
              onValue={(value) => (hands.value = { ...hands.value, [name]: value })}
            />
          ))}
          <Choose
            legend={say('check.shape')}
            chosen={new Set([kind])}
            onChoose={(value) => (shape.value = { kind: value, figures: {} })}
            choices={Object.keys(SHAPES).map((one) => ({
              value: one,
              label: word(`check.kind.${one}`),
            }))}
          />
          {(SHAPES[kind] ?? []).map((name) => (
            <Figure
              key={name}
              label={`check.figure.${name}`}
              value={shape.value.figures[name]}
              onValue={(value) =>
                (shape.value = { kind, figures: { ...shape.value.figures, [name]: value } })
              }
            />
          ))}
        </div>
      )}
    </Fold>
  );
}
