/** Which is this, what is glued to what, what is odd about it? */
import { view } from '../models/shop';
import { inOrder } from '../models/tags';
import { AT_ONCE, useSoon } from '../parts/further';
import { LinkRow } from '../parts/link-row';
import { count, say, word } from '../words/say';
import type { Piece } from '../models/view';

export default function Pieces() {
  const pieces = inOrder(view.value?.pieces ?? []);
  const limit = useSoon(pieces.length, AT_ONCE);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.pieces')}</h1>
      <LinkRow href="/pieces/new" title={say('pieces.new')} note={say('start.new_pieces_note')} />
      <div class="rows">
        {pieces.slice(0, limit).map((piece) => (
          <LinkRow
            key={piece.id}
            href={`/piece/${piece.id}`}
            title={`${piece.tag} ${piece.what}`}
            note={oddities(piece)}
          />
        ))}
      </div>
    </main>
  );
}

function oddities(piece: Piece): string {
  const zones = piece.zones.map(
    (zone) => `${zone.name}: ${zone.keep_bare ? say('can.bare') : count('can.coats', zone.coats)}`,
  );
  const suspect = piece.suspect
    ? [say('wait.suspect', { cause: word(`suspect.${piece.suspect}`) })]
    : [];
  return [...suspect, ...zones].join(' · ');
}
