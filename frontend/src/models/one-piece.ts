/** A piece in full, as the server tells it when it is asked. */
import type { Gate, Instant, Thing } from './view';

export interface OnePiece {
  made_from: { id: string; tag: string }[];
  joints: {
    id: string;
    name: string;
    glue_up: Thing;
    began_at: Instant | null;
    gone: boolean;
    suspect: string | null;
    spin: Gate | null;
  }[];
  history: {
    id: string;
    kind: string;
    at: Instant;
    person: string;
    phone: string;
    about: string;
    said: Record<string, unknown>;
    struck: boolean;
    pictures?: string[]; // not in what an earlier server told
  }[];
}
