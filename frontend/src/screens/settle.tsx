/** Two happenings that cannot both be: a person says which is true, and both stay in the history. */
import { useLocation, useRoute } from 'preact-iso';
import { minute } from '../models/clock';
import { mayRecord, view } from '../models/shop';
import { tell } from '../models/tell';
import { Missing } from '../parts/missing';
import { settleWord } from '../parts/now-extras';
import { Tape } from '../parts/tape';
import { say, word } from '../words/say';
import { when } from '../words/times';

export function Settle() {
  const { params } = useRoute();
  const { route } = useLocation();
  const conflict = view.value?.conflicts.find((one) => one.id === params.id);
  if (!conflict) return <Missing />;
  const settle = async (how: string) => {
    if (await tell('conflict_settled', { conflict: conflict.id, how })) route('/now');
  };
  const ways = ['settle.first', 'settle.second', 'settle.both'] as const;
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('settle.head')}</h1>
      <p>{settleWord(conflict.kind)}</p>
      <ol class="rows">
        {conflict.events.map((event) => (
          <li class="row-link" key={event.id}>
            <b class="row-title">
              {word(`verb.${event.kind}`)} {when(event.at, minute.value)}
            </b>
            <span class="soft">
              {say('settle.who', { person: event.person, phone: event.phone })}
            </span>
          </li>
        ))}
      </ol>
      {mayRecord.value && (
        <div class="pair">
          {ways.slice(0, conflict.events.length > 1 ? 3 : 1).map((key) => (
            <Tape key={key} verb={say(key)} onTap={() => settle(say(key))} />
          ))}
        </div>
      )}
    </main>
  );
}
