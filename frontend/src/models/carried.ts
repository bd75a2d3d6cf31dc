/** What goes along into "the same again": what it tied up, how thick, whether it is under stress. */
import type { Said } from '../store/tap';
import { keep } from '../store/kept';
import { keptCopy } from '../sync/pull';
import { spreadSaid, type Next, type Spread } from './again';
import { tell } from './tell';
import type { Group } from './view';

type Carried = Pick<Spread, 'things' | 'thickness_mm'>;
interface LedgerKept {
  lines: { thing: string; holders: { group: string; count: number }[] }[];
}

const KEY = 'carried';
const MOST = 20;

/** Told, and remembered for the next load; the id of the glue-up, if the phone could keep it. */
export async function tellSpread(spread: Spread): Promise<string | undefined> {
  const said = spreadSaid(spread);
  if (!(await tell('spread_began', said))) return undefined;
  await remember(said, spread).catch(() => undefined);
  return String(said.glue_up);
}

/** The next load as the last one was; one touch, so nothing is fetched first. */
export async function tellAgain({ last, spread }: Next): Promise<string | undefined> {
  const carried = await carriedFrom(last.id);
  return tellSpread({ ...spread, ...carried, stressed: isStressed(last) });
}

/** Told by this phone, else as the ledger stood when it was looked at last. */
export async function carriedFrom(group: string): Promise<Carried> {
  const own = (await keptCopy<Record<string, Carried>>(KEY))?.[group];
  if (own) return own;
  const ledger = await keptCopy<LedgerKept>('ledger');
  const things = (ledger?.lines ?? []).flatMap((line) =>
    line.holders
      .filter((one) => one.group === group)
      .map((one) => ({ thing: line.thing, count: one.count })),
  );
  return things.length ? { things } : {};
}

export function isStressed(group: Group): boolean {
  return group.stressed ?? group.gates.some((gate) => gate.kind === 'clamps_off_stressed');
}

async function remember(said: Said, { things, thickness_mm }: Spread): Promise<void> {
  const before = Object.entries((await keptCopy<Record<string, Carried>>(KEY)) ?? {});
  const own = { ...(things && { things }), ...(thickness_mm && { thickness_mm }) };
  await keep(KEY, Object.fromEntries([...before.slice(1 - MOST), [said.glue_up, own]]));
}
