/** Which one is this, and has every number been moved? */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { WHERE } from '../models/numbers';
import { mayRecord } from '../models/shop';
import { shortTags } from '../models/tags';
import { tell } from '../models/tell';
import type { Instant, Thing } from '../models/view';
import { Choose } from '../parts/choose';
import { LinkRow } from '../parts/link-row';
import { NameField } from '../parts/name-field';
import { get } from '../sync/ask';
import { isKey, say, word } from '../words/say';
import { when } from '../words/times';

interface Trait {
  key: string;
  name: string;
  count: number | null;
}

interface WhoAmI {
  of: number;
  candidates: { id: string; tag: string; what: string; apart: Trait[] }[];
}

interface Asked {
  moment: string;
  at: Instant;
  pieces: { id: string; tag: string }[];
}

const FEW = 12;

export default function Who() {
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.who')}</h1>
      <Looked />
      {mayRecord.value && <Numbers />}
    </main>
  );
}

function Looked() {
  const [what, coats, hold] = [useSignal(''), useSignal(''), useSignal('')];
  const found = useSignal<WhoAmI | undefined>(undefined);
  const silent = useSignal(false);
  useEffect(() => {
    const asked = new URLSearchParams();
    for (const [name, value] of Object.entries({ what, coats, hold })) {
      if (value.value) asked.set(name, value.value);
    }
    get<WhoAmI>(`/api/who-am-i?${asked}`)
      .then((told) => {
        found.value = told;
        silent.value = false;
      })
      .catch(() => (silent.value = true));
  }, [what.value, coats.value, hold.value]);
  const any = { value: '', label: say('who.any') };
  return (
    <section class="stack">
      <NameField label="who.what" value={what} />
      <Choose
        legend={say('who.coats')}
        chosen={new Set([coats.value])}
        onChoose={(value) => (coats.value = value)}
        choices={[any, ...['0', '1', '2', '3'].map((value) => ({ value, label: value }))]}
      />
      <Choose
        legend={say('who.hold')}
        chosen={new Set([hold.value])}
        onChoose={(value) => (hold.value = value)}
        choices={[
          any,
          { value: 'yes', label: say('who.yes') },
          { value: 'no', label: say('who.no') },
        ]}
      />
      {silent.value && <p role="alert">{say('back.needs_signal')}</p>}
      {found.value?.of === 0 && <p>{say('who.none')}</p>}
      {(found.value?.of ?? 0) > FEW && <p>{say('who.many', { count: found.value!.of })}</p>}
      <div class="rows">
        {found.value?.candidates.slice(0, FEW).map((one) => (
          <LinkRow
            key={one.id}
            href={`/piece/${one.id}`}
            title={`${one.tag} ${one.what}`}
            note={one.apart.length ? say('who.apart', { traits: traits(one.apart) }) : ''}
          />
        ))}
      </div>
    </section>
  );
}

function traits(apart: readonly Trait[]): string {
  return apart
    .map(({ key, name, count: many }) => {
      const known = `who.trait.${key}`;
      return isKey(known) ? say(known, { name, count: many ?? 0 }) : name;
    })
    .join(', ');
}

/** One question for each hand-over, until somebody says where the number is. */
function Numbers() {
  const asked = useSignal<Asked[]>([]);
  useEffect(
    () =>
      void get<{ asked: Asked[] }>('/api/numbers')
        .then((told) => (asked.value = told.asked))
        .catch(() => undefined),
    [],
  );
  const answer = async (one: Asked, where: string) => {
    const pieces = one.pieces.map((piece: Pick<Thing, 'id'>) => piece.id);
    if (await tell('number_moved', { pieces, where })) {
      asked.value = asked.value.filter((other) => other !== one);
    }
  };
  return (
    <section>
      {asked.value.map((one) => (
        <article key={`${one.moment}${one.at}`} class="notice">
          <div class="stack">
            <h2 class="part-head">{say('numbers.title')}</h2>
            <p>
              {shortTags(one.pieces.map((piece) => piece.tag))}, {word(`numbers.${one.moment}`)}{' '}
              <span class="soft">{when(one.at, minute.value)}</span>
            </p>
            <div class="tiles">
              {WHERE.map((where) => (
                <button key={where} type="button" class="quiet" onClick={() => answer(one, where)}>
                  {say(`numbers.where.${where}`)}
                </button>
              ))}
            </div>
          </div>
        </article>
      ))}
    </section>
  );
}
