/** Numbers of pieces, the short way: L-01–08, L-10. */
interface Numbered {
  stem: string;
  number: number;
  tag: string;
}

const collator = new Intl.Collator('en', { numeric: true });

export function inOrder<T extends { tag: string }>(pieces: readonly T[]): T[] {
  return [...pieces].sort((one, other) => collator.compare(one.tag, other.tag));
}

/** The numbers that a name does not say already, however its dashes are written. */
export function tagsBeside(name: string, tags: readonly string[]): string {
  const short = shortTags(tags);
  const plain = (text: string) => text.replaceAll('–', '-');
  return plain(name).includes(plain(short)) ? '' : short;
}

export function shortTags(tags: readonly string[]): string {
  return runs([...new Set(tags)].sort(collator.compare)).join(', ');
}

function runs(tags: readonly string[]): string[] {
  const found: string[][] = [];
  for (const tag of tags) {
    const run = found.at(-1);
    if (run && follows(run.at(-1)!, tag)) run.push(tag);
    else found.push([tag]);
  }
  return found.flatMap((run) => (run.length > 2 ? [`${run[0]}–${tailOf(run.at(-1)!)}`] : run));
}

function follows(one: string, other: string): boolean {
  const [a, b] = [split(one), split(other)];
  return !!a && !!b && a.stem === b.stem && b.number === a.number + 1;
}

function tailOf(tag: string): string {
  const parts = split(tag);
  return parts ? tag.slice(parts.stem.length) : tag;
}

function split(tag: string): Numbered | undefined {
  const parts = /^(.*?)(\d+)$/.exec(tag);
  return parts ? { stem: parts[1]!, number: Number(parts[2]), tag } : undefined;
}

/** New numbers after those taken: … as wide as the last asks for. */
export function newTags(stem: string, count: number, taken: ReadonlySet<string>): string[] {
  const found: string[] = [];
  const width = String(count).length;
  for (let number = 1; found.length < count; number += 1) {
    const tag = `${stem}${String(number).padStart(width, '0')}`;
    if (!taken.has(tag)) found.push(tag);
  }
  return found;
}

/** The next pieces of the same making: those that come after the last one, as many again. */
export function nextPieces<T extends { tag: string }>(
  all: readonly T[],
  last: readonly { tag: string }[],
): T[] {
  const sorted = inOrder(all);
  const end = inOrder(last).at(-1);
  const stem = end && split(end.tag)?.stem;
  if (!end || stem === undefined) return [];
  const after = sorted.filter(
    (one) => split(one.tag)?.stem === stem && collator.compare(one.tag, end.tag) > 0,
  );
  return after.slice(0, last.length);
}

/** "L" of L-07. */
export function stemOf(piece: { tag: string }): string {
  return piece.tag.replace(/[\s\-–_./]*\d+$/, '') || piece.tag;
}

/** Pieces by what their numbers begin with. */
export function families<T extends { tag: string }>(pieces: readonly T[]): Map<string, T[]> {
  const found = new Map<string, T[]>();
  for (const piece of pieces) {
    const members = found.get(stemOf(piece));
    if (members) members.push(piece);
    else found.set(stemOf(piece), [piece]);
  }
  return found;
}
