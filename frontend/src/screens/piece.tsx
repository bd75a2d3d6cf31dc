/** Can I spin it? One word, a time, the joint to blame. Then what else, and what it is made of. */
import { useSignal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { get } from '../sync/ask';
import { minute } from '../models/clock';
import { alsoAsked, type Also, type Answer } from '../models/may';
import { mayRecord, piece as pieceOf, trouble, view } from '../models/shop';
import { tell } from '../models/tell';
import type { Piece as PieceOf } from '../models/view';
import { Cautions } from '../parts/caution';
import { Missing } from '../parts/missing';
import { Override } from '../parts/override';
import { PieceHistory } from '../parts/piece-history';
import { PieceParts } from '../parts/piece-parts';
import { Sign, type SignKind } from '../parts/sign';
import { Tape } from '../parts/tape';
import { say, word } from '../words/say';
import { when } from '../words/times';

const SIGNS: Record<Answer['word'], SignKind> = {
  yes: 'may',
  not_yet: 'stop',
  no: 'stop',
  unsure: 'unsure',
  unknown: 'unsure',
};

export function Piece() {
  const { params } = useRoute();
  const piece = pieceOf(params.id ?? '');
  const answer = useSignal<Answer | undefined>(undefined);
  const failed = useSignal(false);
  // Asked anew whenever the server has spoken: a yes is worked out when it is asked for.
  const heard = view.value?.now;
  useEffect(() => {
    if (!piece) return;
    get<Answer>(`/api/pieces/${piece.id}/may?act=spin`).then(
      (told) => {
        answer.value = told;
        failed.value = false;
      },
      () => {
        answer.value = undefined;
        failed.value = true;
      },
    );
  }, [piece?.id, heard, trouble.value]);
  if (!piece) return <Missing />;
  return (
    <main class="room" id="main">
      <h1 class="piece-tag">
        {piece.tag} <span class="soft">{piece.what}</span>
      </h1>
      <Answered answer={answer.value} failed={failed.value} piece={piece} />
      <Cautions keys={['lathe']} container="lathe" />
      {mayRecord.value && !piece.joints_declared && (
        <Tape
          wide
          verb={say('tap.joints_declared')}
          about={piece.tag}
          onTap={() => tell('joints_declared', { piece: piece.id })}
        />
      )}
      <Others piece={piece} />
      <PieceParts piece={piece} />
      <PieceHistory piece={piece.id} />
      {mayRecord.value && answer.value && answer.value.word !== 'yes' && <Override piece={piece} />}
    </main>
  );
}

function Answered({
  answer,
  failed,
  piece,
}: {
  answer: Answer | undefined;
  failed: boolean;
  piece: PieceOf;
}) {
  const now = minute.value;
  if (!answer) {
    return (
      <section class="answer answer-unsure" aria-live="polite">
        <p class="answer-ask">{say('can.ask', { tag: piece.tag })}</p>
        <p class="answer-word">
          <Sign kind="unsure" />
          <span>{failed ? say('lathe.word.unsure') : '…'}</span>
        </p>
        <p>{failed ? say('can.offline') : say('can.asking')}</p>
      </section>
    );
  }
  return (
    <section class={`answer answer-${answer.word}`} aria-live="polite">
      <p class="answer-ask">{say('can.ask', { tag: piece.tag })}</p>
      <p class="answer-word">
        <Sign kind={SIGNS[answer.word]} />
        <span>{say(`lathe.word.${answer.word}`)}</span>
      </p>
      {answer.until && (
        <p class="answer-until">{say('can.until', { at: when(answer.until, now, 'up') })}</p>
      )}
      {answer.blame && <p class="answer-blame">{answer.blame}</p>}
      <ul class="answer-reasons">
        {answer.reasons.map((reason) => (
          <li key={`${reason.key}${reason.name}`}>{reasonWords(reason, now)}</li>
        ))}
      </ul>
      <p>{answer.word === 'yes' ? say('otherwise.spin') : say('lathe.line.forbids')}</p>
      <p class="answer-at">{say('can.answered', { at: when(answer.answered_at, now) })}</p>
    </section>
  );
}

function reasonWords(reason: Answer['reasons'][number], now: number): string {
  const key = reason.at === null ? keyWithoutTime(reason.key) : reason.key;
  return word(`lathe.reason.${key}`, {
    name: reason.name,
    at: reason.at ? when(reason.at, now, 'up') : '',
  });
}

function keyWithoutTime(key: string): string {
  if (key === 'short') return 'short_ever';
  return key === 'no_recent_reading' ? 'no_reading_ever' : key;
}

function Others({ piece }: { piece: PieceOf }) {
  const shown = view.value;
  const asked = shown ? alsoAsked(shown, piece.id, minute.value) : [];
  if (!asked.length) return null;
  return (
    <section>
      <h2 class="part-head">{say('can.also')}</h2>
      <ul class="also">
        {asked.map((one) => (
          <li key={one.kind}>
            <b>{word(`gate.${one.kind}.act`)}</b>
            <span class="line-when">
              <Sign kind={one.shut ? 'heed' : one.until || one.never ? 'stop' : 'may'} />
              {alsoWord(one)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function alsoWord(one: Also): string {
  if (one.shut) return say('can.scuff');
  if (one.never) return say('time.never');
  if (!one.until) return say('can.yes');
  return `${say('can.no')}, ${say('can.until', { at: when(one.until, minute.value, 'up') })}`;
}
