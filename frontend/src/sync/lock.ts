/** One at a time: across tabs where the browser has locks, else within this page. */
const queues = new Map<string, Promise<unknown>>();

export function oneAtATime<T>(name: string, work: () => Promise<T>): Promise<T> {
  // Over plain http there are no locks; two tabs may then send the same tap, and ids sort it out.
  if (typeof navigator !== 'undefined' && 'locks' in navigator) {
    return navigator.locks.request(name, work) as Promise<T>;
  }
  const turn = (queues.get(name) ?? Promise.resolve()).then(work, work);
  queues.set(
    name,
    turn.catch(() => undefined),
  );
  return turn;
}
