/** What a tag says: an address of ours, or only the number that stands on it. */
import type { Piece } from './view';

/** The piece that a tag's text means, if it is one of this shop's. */
export function pieceOfTag(text: string, pieces: readonly Piece[]): Piece | undefined {
  const plain = text.trim();
  const last = decoded(plain.split(/[/#?]/).filter(Boolean).at(-1) ?? '');
  return pieces.find((one) => one.id === last || same(one.tag, last) || same(one.tag, plain));
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

function same(one: string, other: string): boolean {
  return one.toLowerCase() === other.toLowerCase();
}
