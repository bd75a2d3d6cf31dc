/** Can I? Two touches to an answer: the room, and the number on the wood. */
import { piecesInOrder, view } from '../models/shop';
import { families } from '../models/tags';
import type { Piece } from '../models/view';
import { Block, inBlocks, useSoon } from '../parts/further';
import { LinkRow } from '../parts/link-row';
import { Scan } from '../parts/scan';
import { Sign } from '../parts/sign';
import { say } from '../words/say';

/** So many numbers fill a screen; the rest is drawn right after. */
const TILES = 36;
/** Whole rows, whether two or six stand beside one another. */
const TILES_OF_BLOCK = 60;
/** A number and nothing else is drawn at little cost. */
const MANY_TILES = 360;

export function Can() {
  const all = piecesInOrder.value;
  const pieces = all.slice(0, useSoon(all.length, TILES));
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('can.which')}</h1>
      <Scan />
      {view.value?.batches.map((batch) => (
        <LinkRow
          key={batch.id}
          href={`/can/batch/${batch.id}`}
          title={say('can.batch_named', { batch: batch.name })}
          note={say('can.batch_note')}
        />
      ))}
      {pieces.length === 0 && <p>{say('can.none')}</p>}
      {[...families(pieces)].map(([stem, members]) => (
        <section key={stem}>
          <h2 class="where">{whatOf(members) || stem}</h2>
          {inBlocks(members, TILES_OF_BLOCK).map((some, i) => (
            <Block class="tags" key={i} long={all.length > MANY_TILES}>
              {() => some.map((piece) => <Tile piece={piece} key={piece.id} />)}
            </Block>
          ))}
        </section>
      ))}
      <LinkRow
        href="/pieces/new"
        title={say('start.new_pieces')}
        note={say('start.new_pieces_note')}
      />
    </main>
  );
}

function Tile({ piece }: { piece: Piece }) {
  return (
    <li>
      <a class="tag" href={`/piece/${piece.id}`}>
        <b>{piece.tag}</b>
        {piece.suspect && (
          <span class="tag-odd">
            <Sign kind="heed" /> {say('can.suspect')}
          </span>
        )}
      </a>
    </li>
  );
}

function whatOf(pieces: readonly Piece[]): string {
  const kinds = new Set(pieces.map((piece) => piece.what));
  return kinds.size === 1 ? (pieces[0]?.what ?? '') : '';
}
