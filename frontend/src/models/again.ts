/** The same glue-up once more, on the pieces that come next. */
import type { Said } from '../store/tap';
import { newId } from '../sync/outbox';
import { materialOf } from './fold-groups';
import { inOrder, nextPieces, shortTags } from './tags';
import type { Group, Material, Piece, View } from './view';

export interface Spread {
  name: string;
  label: string;
  place: string;
  pieces: readonly Piece[];
  stressed?: boolean;
  /** What the check said it ties up. */
  things?: readonly { thing: string; count: number }[];
  /** Of the wood, where it was told: warmth takes its time to get into it. */
  thickness_mm?: number;
}

/**
 * What is said when spreading begins: one joint on each piece, ids made here. Where the glue-up is
 * called by its pieces, a joint is called by its own alone, and no number is said twice.
 */
export function spreadSaid(spread: Spread): Said {
  const by_pieces = spread.name === nameOf(spread.pieces);
  return {
    glue_up: newId(),
    name: spread.name.slice(0, 80),
    label: spread.label,
    place: spread.place,
    joints: inOrder(spread.pieces).map((piece) => ({
      id: newId(),
      piece: piece.id,
      name: by_pieces ? nameOf([piece]) : `${spread.name}, ${piece.tag}`.slice(0, 80),
      ...(spread.thickness_mm && { thickness_mm: spread.thickness_mm }),
    })),
    ...(spread.stressed && { stressed: true }),
    ...(spread.things?.length && { things: spread.things }),
  };
}

/** What a glue-up of these pieces is called when nobody types a name. */
export function nameOf(pieces: readonly Piece[]): string {
  const kinds = [...new Set(pieces.map((piece) => piece.what))];
  const tags = shortTags(pieces.map((piece) => piece.tag));
  const what = kinds.length === 1 ? kinds[0]! : '';
  return `${what ? `${what} ` : ''}${tags}`.slice(0, 80);
}

export interface Next {
  last: Group;
  material: Material;
  pieces: Piece[];
  spread: Spread;
}

/** The last glue-up, laid on the next pieces of the same making; undefined if there are none. */
export function sameAgain(view: View, of?: Group): Next | undefined {
  const last = of ?? lastGlueUp(view);
  const material = last && materialOf(view, last);
  if (!last || !material) return undefined;
  const label = material.label.id;
  const glued = new Set(
    view.groups
      .filter((one) => one.kind === 'glue_up')
      .flatMap((one) => one.pieces.map((piece) => piece.id)),
  );
  const free = view.pieces.filter((piece) => !glued.has(piece.id));
  const pieces = nextPieces(free, last.pieces);
  if (!pieces.length) return undefined;
  const spread = { name: nameOf(pieces), label, place: last.place.id, pieces };
  return { last, material, pieces, spread };
}

function lastGlueUp(view: View): Group | undefined {
  return view.groups
    .filter((one) => one.kind === 'glue_up')
    .reduce<Group | undefined>(
      (last, one) => (!last || one.began_at > last.began_at ? one : last),
      undefined,
    );
}
