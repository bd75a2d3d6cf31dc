/** What cannot both be, or was done against an answer: a person says how it was; all of it stays told. */
import { useLocation, useRoute } from 'preact-iso';
import { minute } from '../models/clock';
import { mayRecord, view } from '../models/shop';
import { tell } from '../models/tell';
import type { Conflict } from '../models/view';
import { Missing } from '../parts/missing';
import { settleAbout, settleWord } from '../parts/now-extras';
import { Tape } from '../parts/tape';
import { say, word } from '../words/say';
import { when } from '../words/times';

const HOW = ['scuffed', 'tried', 'knew', 'mistake'] as const;

export default function Settle() {
  const { params } = useRoute();
  const { route } = useLocation();
  const conflict = view.value?.conflicts.find((one) => one.id === params.id);
  if (!conflict) return <Missing />;
  const settle = async (how: string, counts?: string) => {
    const said = { conflict: conflict.id, how, ...(counts && { counts }) };
    if (await tell('conflict_settled', said, 0)) route('/now');
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{settleWord(conflict.kind)}</h1>
      <p class="line-name">{settleAbout(conflict)}</p>
      <ol class="rows">
        {conflict.events.map((event) => (
          <li class="row-link" key={event.id}>
            <b class="row-title">
              {word(`verb.${event.kind}`)} {when(event.at, minute.value)}
            </b>
            <span class="soft">
              {event.phone
                ? say('settle.who', { person: event.person, phone: event.phone })
                : event.person}
            </span>
          </li>
        ))}
      </ol>
      {mayRecord.value && <Ways conflict={conflict} onSettle={settle} />}
      <p class="soft">{say('settle.stays')}</p>
    </main>
  );
}

interface Props {
  conflict: Conflict;
  onSettle: (how: string, counts?: string) => Promise<void>;
}

function Ways({ conflict, onSettle }: Props) {
  const [first, second] = conflict.events;
  if (!first || !second) {
    return (
      <section class="stack">
        <h2 class="part-head">{say('settle.how')}</h2>
        <div class="tiles tiles-wide">
          {HOW.map((how) => (
            <Tape
              key={how}
              verb={say(`settle.how.${how}`)}
              onTap={() => onSettle(say(`settle.how.${how}`))}
            />
          ))}
        </div>
      </section>
    );
  }
  return (
    <section class="stack">
      <h2 class="part-head">{say('settle.head')}</h2>
      <div class="pair">
        <Tape
          verb={say('settle.first')}
          note={when(first.at, minute.value)}
          onTap={() => onSettle(say('settle.first'), first.id)}
        />
        <Tape
          verb={say('settle.second')}
          note={when(second.at, minute.value)}
          onTap={() => onSettle(say('settle.second'), second.id)}
        />
        <Tape verb={say('settle.both')} onTap={() => onSettle(say('settle.both'))} />
      </div>
    </section>
  );
}
