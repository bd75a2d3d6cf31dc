/** What the server tells of a batch or a week looked back on, and its strips on one common stretch. */
import { nightsIn } from './nights';
import type { Strip, StripMark } from './strip';
import type { Instant, Thing } from './view';

export interface Term {
  name: string;
  at: Instant | null;
  value: number;
}

export interface Review {
  batch: Thing | null;
  since: Instant;
  until: Instant;
  figures: { key: string; value: number; terms: Term[] }[];
  mistakes: {
    about: Thing | null;
    pieces: string[];
    began_at: Instant;
    announced_at: Instant | null;
    announced_by: string;
    hours_lost: number;
    lines: { at: Instant; words: string; who: string }[];
  }[];
  coldest: { group: Thing; temp_c: number; at: Instant; floor_c: number; below: boolean }[];
  against: {
    group: Thing;
    kind: string;
    label_h: number;
    took_h: number | null;
    spare_h: number | null;
  }[];
  changes: { key: string; words: string }[];
  groups: GroupLine[];
  pieces: { id: string; tag: string; what: string; acts: ActLine[] }[];
}

export interface ActLine {
  at: Instant;
  kind: string;
  about: string;
  who: string;
}

export interface GroupLine {
  id: string;
  name: string;
  material: string;
  place: string;
  suspect: boolean;
  strip: {
    temps: [Instant, number, string][];
    marks: { kind: string; figure: string; at: Instant }[];
  };
}

/** Of a week so small, the gates that somebody waits for; the others would hide them. */
const SHOWN = ['clamps_off', 'clamps_off_stressed', 'spin', 'recoat_opens', 'recoat_closes'];
const CLOSES = ['recoat_closes'];

export function stripBack(line: GroupLine, since: Instant, until: Instant): Strip {
  const [from_ms, to_ms] = [Date.parse(since), Date.parse(until)];
  const air = line.strip.temps
    .map(([at, temp_c, mark]) => ({
      at_ms: Date.parse(at),
      temp_c,
      assumed: !['measured', 'minmax', 'typed'].includes(mark),
    }))
    .filter((point) => point.at_ms >= from_ms && point.at_ms <= to_ms);
  const marks = marksOf(line).filter((mark) => mark.bare_ms <= to_ms && mark.acts_ms >= from_ms);
  return { from_ms, to_ms, air, nights: nightsIn(from_ms, to_ms), marks, floor_c: null };
}

function marksOf(line: GroupLine): StripMark[] {
  return SHOWN.flatMap((kind) => {
    const own = line.strip.marks.filter((mark) => mark.kind === kind);
    const at = (...figures: string[]) => {
      const found = figures.map((figure) => own.find((mark) => mark.figure === figure)?.at);
      const first = found.find((one) => one !== undefined);
      return first === undefined ? undefined : Date.parse(first);
    };
    const hurts = kind === 'spin';
    const acts_ms = hurts ? at('sure') : at('not_before', 'not_after');
    if (acts_ms === undefined) return [];
    const bare_ms = Math.min(at('bare') ?? acts_ms, acts_ms);
    return [{ kind, opens: !CLOSES.includes(kind), hurts, bare_ms, acts_ms }];
  });
}
