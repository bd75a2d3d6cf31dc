/** May I, with all of them? One question to a batch; who is alike stands together. */
import { useSignal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { folded, type ManyTold, type Together } from '../models/batch';
import { ACTS, asked, type Act } from '../models/can';
import { minute } from '../models/clock';
import { served, view } from '../models/shop';
import { shortTags } from '../models/tags';
import { reasonWords, SIGNS } from '../parts/answer';
import { Cautions } from '../parts/caution';
import { Choose } from '../parts/choose';
import { LinkRow } from '../parts/link-row';
import { Missing } from '../parts/missing';
import { Sign } from '../parts/sign';
import { get } from '../sync/ask';
import { say, word } from '../words/say';
import { when } from '../words/times';

/** Nothing stands against these, so there is no reason to tell. */
const FREE = new Set(['yes', 'ask']);

export default function CanBatch() {
  const { params } = useRoute();
  const batch = view.value?.batches.find((one) => one.id === params.id);
  const told = useSignal<ManyTold | undefined>(undefined);
  const silent = useSignal(false);
  const act = asked.value;
  const heard = served.value?.now;
  useEffect(() => {
    let gone = false;
    if (told.peek()?.act !== act) told.value = undefined;
    const question = new URLSearchParams({ act, batch: params.id ?? '' });
    void get<ManyTold>(`/api/may?${question}`).then(
      (found) => {
        if (gone) return;
        told.value = found;
        silent.value = false;
      },
      () => {
        if (gone) return;
        // An old answer is no answer: none is shown of what cannot be asked now.
        told.value = undefined;
        silent.value = true;
      },
    );
    return () => {
      gone = true;
    };
  }, [act, params.id, heard]);
  if (!batch) return <Missing />;
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('can.batch_ask', { batch: batch.name })}</h1>
      <details key={act}>
        <summary class="quiet">
          {say(`can.act.${act}`)} <span class="soft">{say('can.batch_else')}</span>
        </summary>
        <div class="unfolded">
          <Choose
            legend={say('can.batch_act')}
            chosen={new Set([act])}
            onChoose={(next) => (asked.value = next as Act)}
            choices={ACTS.map((one) => ({ value: one, label: say(`can.act.${one}`) }))}
          />
        </div>
      </details>
      {act === 'spin' && <Cautions keys={['lathe']} container={act} />}
      {silent.value && <p role="alert">{say('can.batch_needs_signal')}</p>}
      {told.value && <Answers told={told.value} />}
    </main>
  );
}

function Answers({ told }: { told: ManyTold }) {
  const parts = folded(told.answers);
  return (
    <div aria-live="polite">
      {parts.length === 0 && <p>{say('can.batch_none')}</p>}
      {parts.map((part) => (
        <Part part={part} key={`${part.word}${part.reason}`} />
      ))}
      {parts.some((part) => part.word === 'ask') && <p>{say('can.batch_each')}</p>}
      <p class="soft">{say('can.answered', { at: when(told.answered_at, minute.value) })}</p>
    </div>
  );
}

function Part({ part }: { part: Together }) {
  const now = minute.value;
  const { reason, until, pieces } = part;
  const names = [...new Set(pieces.map((one) => one.blame).filter(Boolean))];
  return (
    <section class="answer-part">
      <h2>
        <Sign kind={SIGNS[part.word] ?? 'unsure'} />
        <span>{word(`can.word.${part.word}`)}</span>
      </h2>
      <p class="line-name">{shortTags(pieces.map((one) => one.tag))}</p>
      {!FREE.has(part.word) && (
        <p>
          {reason === 'scuff_first' && !until
            ? say('can.scuff')
            : reasonWords({ key: reason, names, at: until }, now)}
        </p>
      )}
      {until && <p>{say('can.batch_until', { at: when(until, now, 'up') })}</p>}
      <details>
        <summary class="quiet">{say('can.batch_one')}</summary>
        <div class="rows">
          {pieces.map((one) => (
            <LinkRow
              key={one.piece}
              href={`/piece/${one.piece}`}
              title={one.tag}
              note={one.until ? say('can.until', { at: when(one.until, now, 'up') }) : one.blame}
            />
          ))}
        </div>
      </details>
    </section>
  );
}
