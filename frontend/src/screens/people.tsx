/** Of whom is what kept, how do they take it away, and what stays when they are forgotten? */
import { isOwner } from '../models/shop';
import { Surely } from '../parts/surely';
import { useTold } from '../parts/use-told';
import { Wrong } from '../parts/wrong';
import { post } from '../sync/ask';
import { count, say, word } from '../words/say';

interface PersonHere {
  id: string;
  name: string;
  role: string;
  me: boolean;
  phones: number;
  told: number;
  rags: number;
  last_owner: boolean;
}

export default function People() {
  const { told, wrong, act } = useTold<{ people: PersonHere[] }>('/api/people');
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.people')}</h1>
      <p>{say(isOwner.value ? 'people.all' : 'people.own')}</p>
      <Wrong says={wrong.value} />
      {told.value?.people.map((one) => (
        <OnePerson
          key={one.id}
          one={one}
          onForget={() => act(() => post(`/api/people/${one.id}/forget`, {}))}
        />
      ))}
    </main>
  );
}

function OnePerson({ one, onForget }: { one: PersonHere; onForget: () => Promise<unknown> }) {
  const role = word(`set.role.${one.role}`);
  const kept = (['phones', 'told', 'rags'] as const)
    .filter((what) => one[what] > 0)
    .map((what) => count(`people.${what}`, one[what]));
  return (
    <section class="stack container">
      <div>
        <h2 class="line-name">{one.name}</h2>
        <p>{one.me ? say('people.me', { role }) : role}</p>
        <p class="soft">{kept.join(' · ')}</p>
      </div>
      <a class="quiet" href={`/api/people/${one.id}/data`} download={`${one.name}.json`}>
        {say('people.take', { name: one.name })}
        <span class="soft">{say('people.take_note')}</span>
      </a>
      {one.last_owner ? (
        <p class="soft">{say('people.last_owner')}</p>
      ) : (
        <Surely verb={say('people.forget')} about={one.name} typed={one.name} onTap={onForget}>
          <p>{say('people.goes', { name: one.name })}</p>
          {one.told > 0 && <p>{count('people.stays', one.told)}</p>}
          {one.rags > 0 && (
            <p>
              <b>{count('people.rags_stay', one.rags)}</b>
            </p>
          )}
          <p>{say('people.papers')}</p>
          {one.me && <p>{say('people.this_phone')}</p>}
        </Surely>
      )}
    </section>
  );
}
