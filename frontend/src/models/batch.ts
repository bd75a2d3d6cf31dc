/** One question to a whole batch, its answers laid together: what is alike is said once. */
import type { Instant } from './view';

export interface OneWord {
  piece: string;
  tag: string;
  word: string;
  until: Instant | null;
  blame: string;
  reason: string;
}

export interface ManyTold {
  act: string;
  answered_at: Instant;
  answers: OneWord[];
}

export interface Together {
  word: string;
  reason: string;
  until: Instant | null;
  pieces: OneWord[];
}

/** What can be done comes first, what must not be done last. */
const ORDER = ['yes', 'ask', 'unsure', 'unknown', 'not_yet', 'no'];

/** Answers of one word and reason together; the latest time counts for all of them. */
export function folded(answers: readonly OneWord[]): Together[] {
  const found = new Map<string, Together>();
  for (const one of answers) {
    const key = `${one.word} ${one.reason}`;
    const same = found.get(key);
    const { word, reason, until } = one;
    if (!same) found.set(key, { word, reason, until, pieces: [one] });
    else {
      same.pieces.push(one);
      // Where one of them has no time, none is told of all.
      same.until = same.until && until ? (until > same.until ? until : same.until) : null;
    }
  }
  const order = (one: Together) => ORDER.indexOf(one.word);
  return [...found.values()].sort((one, other) => order(one) - order(other));
}
