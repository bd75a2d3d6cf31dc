/** A tap as the phone keeps it: what happened, when, and what the server has said of it. */
export type Said = Record<string, unknown>;

/** Why something was refused, in words a maker can act on. */
export interface Problem {
  key: string;
  detail: string;
  field?: string;
  mend?: string;
}

/** kept: only on this phone. The rest is the server's answer. */
export type TapState = 'kept' | 'applied' | 'known' | 'refused';

export interface NewTap {
  id: string;
  verb: string;
  at: string;
  said: Said;
  /** When the button was pressed by this phone's clock, and by the page's own stopwatch. */
  pressed_at: string;
  page: string;
  stopwatch_ms: number;
}

export interface Tap extends NewTap {
  number: number;
  state: TapState;
  problem?: Problem;
  corrected_by_s?: number;
  /** The server's own time when it answered. */
  answered_at?: string;
}
