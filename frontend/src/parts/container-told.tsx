/** What is known of one container, wherever it is shown: how old, how much is left, what speaks against it. */
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { onShelf, shelf, type Container, type Shelf } from '../models/containers';
import { served, taps } from '../models/shop';
import { pullKept } from '../sync/pull';
import { weight } from '../units/weight';
import { count, say, word } from '../words/say';
import { day, when } from '../words/times';
import { Sign } from './sign';

const LONG_D = 60;
const MONTH_D = 365.25 / 12;

/** Every container, asked for anew whenever the server has spoken; undefined before it ever has. */
export function useShelf(): Container[] | undefined {
  const heard = served.value?.now;
  useEffect(() => {
    void pullKept<Shelf>('containers', '/api/containers').then(
      (told) => (shelf.value = told),
      () => undefined,
    );
  }, [heard]);
  return shelf.value && onShelf(shelf.value, taps.value);
}

/** What speaks against using it; that it is to be tried is said with the frost already. */
export function Odd({ odd }: { odd: readonly string[] }) {
  const said = odd.filter((key) => key !== 'test_due' || !odd.includes('frozen'));
  return (
    <>
      {said.map((key) => (
        <span class="line-when" key={key}>
          <Sign kind={key === 'old' || key === 'old_opened' ? 'unsure' : 'heed'} />
          <span>{word(`container.odd.${key}`)}</span>
        </span>
      ))}
    </>
  );
}

export function containerFacts(one: Container): string[] {
  const now = minute.value;
  const { open_days, opened_at, left_g, holds_g, keeps_days, keeps_open_days } = one;
  return [
    opened_at && open_days !== null
      ? say('container.opened', { at: when(opened_at, now), age: age(open_days) })
      : say('container.unopened', { age: age(one.age_days) }),
    keeps_open_days !== null ? say('container.keeps_open', { age: age(keeps_open_days) }) : '',
    keeps_days !== null && !one.expires ? say('container.keeps', { age: age(keeps_days) }) : '',
    one.expires ? say('container.expires', { day: day(one.expires) }) : '',
    one.frozen_at ? say('container.frozen', { at: when(one.frozen_at, now) }) : '',
    one.tested_at
      ? say(one.passed ? 'container.passed' : 'container.failed', { at: when(one.tested_at, now) })
      : '',
    one.test_due_at && Date.parse(one.test_due_at) > now
      ? say('container.test_due', { at: when(one.test_due_at, now) })
      : '',
    left_g !== null && holds_g !== null
      ? say('container.left_of', { left: weight(left_g), holds: weight(holds_g) })
      : left_g !== null
        ? say('container.left', { left: weight(left_g) })
        : '',
  ].filter(Boolean);
}

/** "12 days", or in months once it is long. */
export function age(days: number): string {
  if (days < LONG_D) return count('container.days', Math.floor(days));
  return count('container.months', Math.round(days / MONTH_D));
}
