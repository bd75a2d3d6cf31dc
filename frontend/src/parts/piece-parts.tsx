/** What a piece carries: its parts and their coats, its joints, and what is on it for a while. */
import { mayRecord, view } from '../models/shop';
import { tell } from '../models/tell';
import type { Piece } from '../models/view';
import { count, say, word } from '../words/say';
import { LinkRow } from './link-row';
import { Sign } from './sign';
import { Tape } from './tape';

export function PieceParts({ piece }: { piece: Piece }) {
  const shown = view.value;
  const groups = (shown?.groups ?? []).filter((group) =>
    group.pieces.some((one) => one.id === piece.id),
  );
  const holds = (shown?.holds ?? []).filter((hold) => hold.piece === piece.id);
  return (
    <>
      {holds.length > 0 && (
        <section class="stack">
          <h2 class="part-head">{say('can.holds')}</h2>
          {holds.map((hold) => (
            <div class="line-with-tap" key={hold.id}>
              <p>
                <Sign kind="stop" />{' '}
                {hold.off_before
                  ? say('can.hold', {
                      what: hold.what,
                      before: word(`hold.before.${hold.off_before}`),
                    })
                  : hold.what}
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
      )}
      {groups.length > 0 && (
        <section>
          <h2 class="part-head">{say('can.joints')}</h2>
          <div class="rows">
            {groups.map((group) => (
              <LinkRow
                key={group.id}
                href={`/wait/${group.id}`}
                title={group.name}
                note={say('wait.in', { material: group.material.name, place: group.place.name })}
              />
            ))}
          </div>
        </section>
      )}
      {piece.zones.length > 0 && (
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
      )}
    </>
  );
}
