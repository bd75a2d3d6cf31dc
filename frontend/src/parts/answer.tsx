/** One word, a time, who is to blame; then the reasons, told once however many joints they are of. */
import { together, type Act, type ReasonGroup } from '../models/can';
import { minute } from '../models/clock';
import type { Answer } from '../models/may';
import { count, isKey, say, word, type Key } from '../words/say';
import { when } from '../words/times';
import { Sign, type SignKind } from './sign';

export const SIGNS: Record<string, SignKind> = {
  yes: 'may',
  not_yet: 'stop',
  no: 'stop',
  unsure: 'unsure',
  unknown: 'unsure',
  ask: 'unsure',
};
const NAMED = 2;

interface Props {
  act: Act;
  question: string;
  answer: Answer | undefined;
  failed: boolean;
}

export function AnswerTold({ act, question, answer, failed }: Props) {
  const now = minute.value;
  if (!answer) {
    return (
      <section class="answer answer-unsure" aria-live="polite">
        <p class="answer-ask">{question}</p>
        <p class="answer-word">
          <Sign kind="unsure" />
          <span>{failed ? say('can.word.unsure') : '…'}</span>
        </p>
        <p>{say(failed ? 'can.offline' : 'can.asking')}</p>
      </section>
    );
  }
  return (
    <section class={`answer answer-${answer.word}`} aria-live="polite">
      <p class="answer-ask">{question}</p>
      <p class="answer-word">
        <Sign kind={SIGNS[answer.word]!} />
        <span>{wordOf(act, answer.word)}</span>
      </p>
      {answer.until && (
        <p class="answer-until">{say('can.until', { at: when(answer.until, now, 'up') })}</p>
      )}
      {answer.blame && answer.word !== 'yes' && <p class="answer-blame">{answer.blame}</p>}
      <ul class="answer-reasons">
        {together(answer.reasons).map((reason) => (
          <li key={reason.key}>{reasonWords(reason, now)}</li>
        ))}
      </ul>
      {act === 'spin' && (
        <p>{say(answer.word === 'yes' ? 'otherwise.spin' : 'lathe.line.forbids')}</p>
      )}
      <p class="answer-at">{say('can.answered', { at: when(answer.answered_at, now) })}</p>
    </section>
  );
}

/** At the lathe yes has its own word. */
export function wordOf(act: Act, told: string): string {
  return act === 'spin' && told === 'yes' ? say('lathe.word.yes') : word(`can.word.${told}`);
}

export function reasonWords({ key, names, at }: ReasonGroup, now: number): string {
  const fields = { name: namesWords(names), at: at ? when(at, now, 'up') : '' };
  const told = key === 'no_recent_reading' && !at ? 'no_reading_ever' : key;
  if (isKey(`lathe.reason.${told}`)) return say(`lathe.reason.${told}` as Key, fields);
  if (isKey(`may.${told}`)) return say(`may.${told}` as Key, fields);
  if (!told.startsWith('suspect_')) return word(told);
  return say('may.suspect', { ...fields, cause: word(`suspect.${told.slice(8)}`) });
}

function namesWords(names: readonly string[]): string {
  const first = names.slice(0, NAMED).join(', ');
  const more = names.length - NAMED;
  return more > 0 ? count('can.names_more', more, { names: first }) : first;
}
