/** Can I? One word for the act that is asked, a time, the joint to blame. Then every other act. */
import { useSignal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { get } from '../sync/ask';
import { asked, wantsReading, worthShowing, zonesAsked } from '../models/can';
import type { Act, ActAnswer } from '../models/can';
import { minute } from '../models/clock';
import { alsoAsked, type Also, type Answer } from '../models/may';
import { mayRecord, piece as pieceOf, trouble, view } from '../models/shop';
import { tell } from '../models/tell';
import type { Piece as PieceOf } from '../models/view';
import { AnswerTold, SIGNS, wordOf } from '../parts/answer';
import { Cautions } from '../parts/caution';
import { Choose } from '../parts/choose';
import { Below } from '../parts/further';
import { LinkRow } from '../parts/link-row';
import { Missing } from '../parts/missing';
import { Override } from '../parts/override';
import { PieceHistory } from '../parts/piece-history';
import { PieceNumber } from '../parts/piece-number';
import { PieceParts } from '../parts/piece-parts';
import { Sign } from '../parts/sign';
import { Tape } from '../parts/tape';
import { say, word } from '../words/say';
import { when } from '../words/times';

export function Piece() {
  const { params } = useRoute();
  const piece = pieceOf(params.id ?? '');
  // Anew for each piece: nothing that was answered of one is ever shown of another.
  return piece ? <OnePiece piece={piece} key={piece.id} /> : <Missing />;
}

function OnePiece({ piece }: { piece: PieceOf }) {
  const { answers, failed } = useAnswers(piece);
  const zone = useSignal('');
  const act = asked.value;
  const zones = zonesAsked(piece, act);
  const own = useOfZone(piece, act, zones.length ? zone.value : '');
  const answer = own ?? (zone.value && zones.length ? undefined : answers?.find((one) => one.act === act));
  const choose = (next: Act) => {
    asked.value = next;
    zone.value = '';
    document.getElementById('main')?.scrollIntoView();
  };
  return (
    <main class="room" id="main">
      <h1 class="piece-tag">
        {piece.tag} <span class="soft">{piece.what}</span>
      </h1>
      <AnswerTold
        act={act}
        question={questionOf(piece, act, zones.length ? zone.value : '')}
        answer={answer}
        failed={failed}
      />
      <Cautions keys={answer?.cautions ?? (act === 'spin' ? ['lathe'] : [])} container={act} />
      <Remedies piece={piece} answer={answer} />
      {zones.length > 0 && (
        <Choose
          legend={say('can.which_zone')}
          chosen={new Set([zone.value])}
          onChoose={(value) => (zone.value = value)}
          choices={[
            { value: '', label: say('can.whole') },
            ...zones.map((one) => ({ value: one.name, label: one.name })),
          ]}
        />
      )}
      {answers && <OtherActs answers={worthShowing(answers, act)} act={act} onChoose={choose} />}
      {failed && <Guesses piece={piece} />}
      <Below>
        {() => (
          <>
            <PieceParts piece={piece} />
            {mayRecord.value && <PieceNumber piece={piece} />}
            <PieceHistory piece={piece.id} />
          </>
        )}
      </Below>
      {mayRecord.value && answer && answer.word !== 'yes' && <Override piece={piece} act={act} />}
    </main>
  );
}

function questionOf(piece: PieceOf, act: Act, zone: string): string {
  if (!zone) return say(`can.ask.${act}`, { tag: piece.tag });
  return word(`can.ask_zone.${act}`, { tag: piece.tag, zone });
}

/** Asked anew whenever the server has spoken: a yes is worked out when it is asked for. */
function useAnswers(piece: PieceOf): { answers: ActAnswer[] | undefined; failed: boolean } {
  const answers = useSignal<ActAnswer[] | undefined>(undefined);
  const failed = useSignal(false);
  const heard = view.value?.now;
  useEffect(() => {
    let gone = false;
    const act = asked.peek();
    const lost = () => {
      if (gone) return;
      answers.value = undefined;
      failed.value = true;
    };
    const heardOf = (told: ActAnswer[]) => {
      if (gone) return;
      answers.value = told;
      failed.value = false;
    };
    const every = () =>
      get<{ answers: ActAnswer[] }>(`/api/pieces/${piece.id}/can`).then(
        (told) => heardOf(told.answers),
        lost,
      );
    // What is asked comes first and by itself; the rest follows.
    void get<Answer>(`/api/pieces/${piece.id}/may?act=${act}`).then((told) => {
      if (!gone && !answers.peek()) heardOf([{ ...told, act }]);
      return every();
    }, lost);
    return () => {
      gone = true;
    };
  }, [heard, trouble.value]);
  return { answers: answers.value, failed: failed.value };
}

/** The answer for one zone of it. */
function useOfZone(piece: PieceOf, act: Act, zone: string): Answer | undefined {
  const answer = useSignal<Answer | undefined>(undefined);
  const heard = view.value?.now;
  useEffect(() => {
    let gone = false;
    answer.value = undefined;
    if (zone) {
      const question = new URLSearchParams({ act, zone });
      void get<Answer>(`/api/pieces/${piece.id}/may?${question}`).then(
        (told) => {
          if (!gone) answer.value = told;
        },
        () => undefined,
      );
    }
    return () => {
      gone = true;
    };
  }, [act, zone, heard]);
  return answer.value;
}

/** What would help, in one touch where it can be. */
function Remedies({ piece, answer }: { piece: PieceOf; answer: Answer | undefined }) {
  if (!mayRecord.value || !answer) return null;
  const stands = (view.value?.groups ?? []).filter((group) =>
    group.pieces.some((one) => one.id === piece.id),
  );
  const places = new Map(stands.map((group) => [group.place.id, group.place.name]));
  const shown = places.size ? places : new Map(view.value?.places.map((one) => [one.id, one.name]));
  return (
    <>
      {wantsReading(answer) &&
        [...shown].map(([id, place]) => (
          <LinkRow key={id} href={`/air/${id}`} title={say('can.enter_temp', { place })} />
        ))}
      {!piece.joints_declared && answer.reasons.some((one) => one.key === 'joints_not_declared') && (
        <Tape
          wide
          verb={say('tap.joints_declared')}
          about={piece.tag}
          onTap={() => tell('joints_declared', { piece: piece.id })}
        />
      )}
    </>
  );
}

interface ActsProps {
  answers: readonly ActAnswer[];
  act: Act;
  onChoose: (act: Act) => void;
}

function OtherActs({ answers, act, onChoose }: ActsProps) {
  return (
    <section>
      <h2 class="part-head">{say('can.also')}</h2>
      <div class="acts">
        {answers.map((one) => (
          <button
            type="button"
            class="act-asked"
            key={one.act}
            aria-pressed={one.act === act}
            onClick={() => onChoose(one.act)}
          >
            <b>{say(`can.act.${one.act}`)}</b>
            <span class="line-when">
              <Sign kind={SIGNS[one.word]!} />
              <span>{shortWords(one)}</span>
            </span>
          </button>
        ))}
      </div>
    </section>
  );
}

function shortWords(one: ActAnswer): string {
  if (one.reasons[0]?.key === 'scuff_first') return say('can.scuff');
  const told = wordOf(one.act, one.word);
  return one.until ? say('can.at', { word: told, at: when(one.until, minute.value, 'up') }) : told;
}

/** Without a signal: what the gates on this phone say, of nothing that can hurt. */
function Guesses({ piece }: { piece: PieceOf }) {
  const found = view.value ? alsoAsked(view.value, piece.id, minute.value) : [];
  if (!found.length) return null;
  return (
    <section>
      <h2 class="part-head">{say('can.also')}</h2>
      <p class="provisional">{say('can.guess')}</p>
      <ul class="also">
        {found.map((one) => (
          <li key={one.kind}>
            <b>{word(`gate.${one.kind}.act`)}</b>
            <span class="line-when">
              <Sign kind={one.shut ? 'heed' : one.until || one.never ? 'stop' : 'may'} />
              {guessWords(one)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function guessWords(one: Also): string {
  if (one.shut) return say('can.scuff');
  if (one.never) return say('time.never');
  if (!one.until) return say('can.word.yes');
  const at = when(one.until, minute.value, 'up');
  return say('can.at', { word: say('can.word.not_yet'), at: say('can.until', { at }) });
}
