/** Taps out, in order, until none is left or the server cannot be had. */
import { answerTaps, keptTaps, type TapAnswer } from '../store/taps';
import type { Problem, Tap } from '../store/tap';
import { asProblem, AskFailed, post } from './ask';
import { oneAtATime } from './lock';
import { happenedAt } from './outbox';

interface Answers {
  now: string;
  answers: { id: string; outcome: string; problem?: unknown; corrected_by_s?: number }[];
}

export interface Sent {
  answered: TapAnswer[];
  failed?: AskFailed;
}

const AT_ONCE = 50;

export function sendTaps(): Promise<Sent> {
  return oneAtATime('outbox', drain);
}

async function drain(): Promise<Sent> {
  const answered: TapAnswer[] = [];
  let size = AT_ONCE;
  for (;;) {
    const waiting = await keptTaps();
    if (!waiting.length) return { answered };
    const batch = waiting.slice(0, size);
    const got = await settle(batch, waiting.length);
    if (got instanceof AskFailed) {
      if (batch.length === 1 || !concernsTaps(got)) return { answered, failed: got };
      size = Math.floor(batch.length / 2);
      continue;
    }
    // An answer that settles nothing must not be asked for again at once.
    if (!got.length) return { answered, failed: new AskFailed('server_trouble') };
    await answerTaps(got);
    answered.push(...got);
  }
}

/**
 * The answers to a batch. A refusal of the request as a whole is, with one tap left, that tap's; but
 * only in our server's own words: a stranger on the line settles nothing.
 */
async function settle(batch: readonly Tap[], waiting: number): Promise<TapAnswer[] | AskFailed> {
  try {
    return await sendBatch(batch, waiting);
  } catch (cause) {
    const failed = cause instanceof AskFailed ? cause : new AskFailed('server_trouble');
    return batch.length === 1 && failed.problem && concernsTaps(failed)
      ? [refusal(batch[0]!, failed.problem)]
      : failed;
  }
}

/** Whether it is about what was sent, and not about the line, the server or this phone. */
function concernsTaps(failed: AskFailed): boolean {
  return failed.failure === 'refused' || failed.failure === 'too_big';
}

async function sendBatch(batch: readonly Tap[], unsent: number): Promise<TapAnswer[]> {
  const now = new Date();
  const stopwatch_ms = performance.now();
  const happenings = batch.map((tap) => ({
    id: tap.id,
    verb: tap.verb,
    at: happenedAt(tap, now, stopwatch_ms),
    number: tap.number,
    said: tap.said,
  }));
  const body = { sent_at: now.toISOString(), unsent: unsent - batch.length, happenings };
  const reply = await post<Answers>('/api/happenings', body);
  return read(reply, new Set(batch.map((tap) => tap.id)));
}

function read(reply: Answers, asked: ReadonlySet<string>): TapAnswer[] {
  if (!Array.isArray(reply?.answers)) throw new AskFailed('server_trouble');
  return reply.answers.filter((one) => asked.has(one.id)).flatMap((one) => answer(one, reply.now));
}

function answer(one: Answers['answers'][number], now: string): TapAnswer[] {
  if (one.outcome !== 'applied' && one.outcome !== 'known' && one.outcome !== 'refused') return [];
  const problem = one.outcome === 'refused' ? asProblem(one.problem) : undefined;
  return [
    {
      id: one.id,
      state: one.outcome,
      answered_at: now,
      ...(problem && { problem }),
      ...(one.corrected_by_s !== undefined && { corrected_by_s: one.corrected_by_s }),
    },
  ];
}

function refusal(tap: Tap, problem: Problem): TapAnswer {
  return { id: tap.id, state: 'refused', answered_at: new Date().toISOString(), problem };
}
