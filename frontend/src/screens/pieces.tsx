/** Which is this, what is glued to what, what is odd about it? */
import { piecesInOrder } from '../models/shop';
import { AT_ONCE, Block, inBlocks, useSoon } from '../parts/further';
import { LinkRow } from '../parts/link-row';
import { count, say, word } from '../words/say';
import type { Piece } from '../models/view';

/** Plain rows, without strips. */
const MANY_PIECES = 240;

export default function Pieces() {
  const pieces = piecesInOrder.value;
  const limit = useSoon(pieces.length, AT_ONCE);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.pieces')}</h1>
      <LinkRow href="/pieces/new" title={say('pieces.new')} note={say('start.new_pieces_note')} />
      <div class="rows">
        {inBlocks(pieces.slice(0, limit), AT_ONCE).map((some, i) => (
          <Block key={i} long={pieces.length > MANY_PIECES}>
            {() => some.map((piece) => <Row piece={piece} key={piece.id} />)}
          </Block>
        ))}
      </div>
    </main>
  );
}

function Row({ piece }: { piece: Piece }) {
  return (
    <li>
      <LinkRow
        href={`/piece/${piece.id}`}
        title={`${piece.tag} ${piece.what}`}
        note={oddities(piece)}
      />
    </li>
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
