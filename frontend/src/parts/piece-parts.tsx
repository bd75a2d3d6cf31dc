/** What a piece carries: its parts and their coats, its joints, and what is on it for a while. */
import { mayRecord, view } from '../models/shop';
import { tell } from '../models/tell';
import type { Hold, Piece } from '../models/view';
import { count, say, word } from '../words/say';
import { LinkRow } from './link-row';
import { Sign } from './sign';
import { Tape } from './tape';

export function PieceParts({ piece }: { piece: Piece }) {
  return (
    <>
      <Holds holds={(view.value?.holds ?? []).filter((hold) => hold.piece === piece.id)} />
      <Groups piece={piece} />
      <Zones piece={piece} />
    </>
  );
}

function Holds({ holds }: { holds: readonly Hold[] }) {
  if (!holds.length) return null;
  return (
    <section class="stack">
      <h2 class="part-head">{say('can.holds')}</h2>
      {holds.map((hold) => (
        <div class="line-with-tap" key={hold.id}>
          <p>
            <Sign kind="stop" /> {holdWords(hold)}
          </p>
          {mayRecord.value && (
            <Tape
              verb={say('tap.hold_off')}
              about={hold.what}
              onTap={() => tell('hold_off', { hold: hold.id })}
            />
          )}
        </div>
      ))}
    </section>
  );
}

function holdWords(hold: Hold): string {
  if (!hold.off_before) return hold.what;
  return say('can.hold', { what: hold.what, before: word(`hold.before.${hold.off_before}`) });
}

function Groups({ piece }: { piece: Piece }) {
  const on = (view.value?.groups ?? []).filter((group) =>
    group.pieces.some((one) => one.id === piece.id),
  );
  if (!on.length) return null;
  return (
    <section>
      <h2 class="part-head">{say('can.joints')}</h2>
      <div class="rows">
        {on.map((group) => (
          <LinkRow
            key={group.id}
            href={`/wait/${group.id}`}
            title={group.name}
            note={say('wait.in', { material: group.material.name, place: group.place.name })}
          />
        ))}
      </div>
    </section>
  );
}

function Zones({ piece }: { piece: Piece }) {
  if (!piece.zones.length) return null;
  return (
    <section>
      <h2 class="part-head">{say('can.zones')}</h2>
      <ul class="also">
        {piece.zones.map((zone) => (
          <li key={zone.id}>
            <b>{zone.name}</b>
            <span>{zone.keep_bare ? say('can.bare') : count('can.coats', zone.coats)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
