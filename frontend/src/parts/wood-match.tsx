/** Do these go together? By what was metered, and by what the glue can take. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { view } from '../models/shop';
import { get } from '../sync/ask';
import { say, word } from '../words/say';
import { number } from '../words/times';
import { Choose, toggled } from './choose';
import { Sign, type SignKind } from './sign';

interface Told {
  word: 'go' | 'care' | 'no' | 'unknown';
  reasons: { key: string; lot: string; mc_pct: number | null; limit_pct: number | null }[];
}

const SIGNS: Record<Told['word'], SignKind> = {
  go: 'may',
  care: 'heed',
  no: 'stop',
  unknown: 'unsure',
};

export function Match({ lots }: { lots: readonly { id: string; name: string }[] }) {
  const chosen = useSignal<ReadonlySet<string>>(new Set());
  const label = useSignal('');
  const told = useSignal<Told | undefined>(undefined);
  const silent = useSignal(false);
  // What was metered since may turn the answer round.
  const about = JSON.stringify([[...chosen.value], label.value, lots]);
  useEffect(() => {
    let gone = false;
    told.value = undefined;
    if (chosen.value.size > 1) {
      const asked = new URLSearchParams([...chosen.value].map((lot) => ['lot', lot]));
      if (label.value) asked.set('label', label.value);
      void get<Told>(`/api/wood?${asked}`).then(
        (found) => {
          if (gone) return;
          told.value = found;
          silent.value = false;
        },
        () => (silent.value = !gone),
      );
    }
    return () => {
      gone = true;
    };
  }, [about]);
  const glues = (view.value?.materials ?? []).filter((one) => one.role === 'adhesive');
  return (
    <section class="stack">
      <h2 class="part-head">{say('match.head')}</h2>
      <Choose
        many
        legend={say('match.lots')}
        chosen={chosen.value}
        onChoose={(lot) => (chosen.value = toggled(chosen.value, lot))}
        choices={lots.map((one) => ({ value: one.id, label: one.name }))}
      />
      <Choose
        legend={say('match.glue')}
        chosen={new Set([label.value])}
        onChoose={(value) => (label.value = value)}
        choices={[
          { value: '', label: say('match.any') },
          ...glues.map((one) => ({ value: one.label.id, label: one.name })),
        ]}
      />
      <div aria-live="polite">
        {chosen.value.size < 2 && <p>{say('match.choose')}</p>}
        {silent.value && <p role="alert">{say('back.needs_signal')}</p>}
        {told.value && <Answer told={told.value} />}
      </div>
    </section>
  );
}

function Answer({ told }: { told: Told }) {
  const percent = (value: number | null) => (value === null ? '?' : number(value, 1));
  return (
    <div class="answer-part">
      <h3>
        <Sign kind={SIGNS[told.word]} />
        <span>{say(`match.word.${told.word}`)}</span>
      </h3>
      {told.reasons.map(({ key, lot, mc_pct, limit_pct }) => (
        <p key={`${key}${lot}`}>
          {word(`match.${key}`, { lot, mc: percent(mc_pct), limit: percent(limit_pct) })}
        </p>
      ))}
    </div>
  );
}
