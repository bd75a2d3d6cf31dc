/** The containers of one material: opened, frozen, tried, how much is left, how old; each in a touch. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { onShelf, shelf, type Container, type Shelf } from '../models/containers';
import { settings } from '../models/settings';
import { mayRecord, served, taps } from '../models/shop';
import { tell } from '../models/tell';
import type { Said } from '../store/tap';
import { newId } from '../sync/outbox';
import { pullKept } from '../sync/pull';
import { decimal } from '../units/decimal';
import { toGrams, weight } from '../units/weight';
import { count, say, word } from '../words/say';
import { day, when } from '../words/times';
import { Ago } from './ago';
import { Field } from './field';
import { Sign } from './sign';
import { Tape } from './tape';

/** Of what it holds; the eye tells no finer. */
const PARTS = ['whole', 'three_quarters', 'half', 'quarter'] as const;
const SHARE = { whole: 1, three_quarters: 0.75, half: 0.5, quarter: 0.25 };
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

export function Containers({ material }: { material: string }) {
  const own = useShelf()?.filter((one) => one.material === material);
  return (
    <section class="stack">
      <h2 class="part-head">{say('container.head')}</h2>
      {!own && <p>{say('container.needs_signal')}</p>}
      {own?.length === 0 && <p>{say('container.none')}</p>}
      {own?.map((one) => (
        <OneContainer key={one.id} one={one} />
      ))}
      {mayRecord.value && <TakeIn material={material} />}
    </section>
  );
}

function OneContainer({ one }: { one: Container }) {
  const say_it = (verb: string, more: Said = {}) => tell(verb, { container: one.id, ...more });
  return (
    <article class="stack container">
      <div>
        <h3 class="line-name">
          {one.name} {one.in_use && <span class="soft">{say('container.in_use')}</span>}
        </h3>
        <Odd odd={one.odd} />
        {facts(one).map((line) => (
          <p key={line}>{line}</p>
        ))}
      </div>
      {mayRecord.value && !one.opened_at && (
        <Tape
          wide
          verb={say('container.open')}
          about={one.name}
          onTap={() => say_it('container_opened')}
        />
      )}
      {mayRecord.value && (
        <details>
          <summary class="quiet">{say('container.say')}</summary>
          <div class="stack unfolded">
            <div class="tiles tiles-wide">
              <Tape
                verb={say('container.froze')}
                about={one.name}
                onTap={() => say_it('container_frozen')}
              />
              <Tape
                verb={say('container.good')}
                about={one.name}
                onTap={() => say_it('container_tested', { passed: true })}
              />
              <Tape
                verb={say('container.bad')}
                about={one.name}
                onTap={() => say_it('container_tested', { passed: false })}
              />
            </div>
            <h4>{say('container.left_head')}</h4>
            <Left one={one} />
            <Ago />
          </div>
        </details>
      )}
    </article>
  );
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

function facts(one: Container): string[] {
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

function age(days: number): string {
  if (days < LONG_D) return count('container.days', Math.floor(days));
  return count('container.months', Math.round(days / MONTH_D));
}

/** By the eye where it is known how much it held, else by the scales. */
function Left({ one }: { one: Container }) {
  const typed = useSignal('');
  const left = (left_g: number) => tell('container_left', { container: one.id, left_g });
  const weigh = async (event: Event) => {
    event.preventDefault();
    const left_g = toGrams(decimal(typed.value));
    if (left_g >= 0 && (await left(left_g))) typed.value = '';
  };
  return (
    <>
      <div class="tiles tiles-wide">
        {one.holds_g !== null &&
          PARTS.map((part) => (
            <Tape
              key={part}
              verb={say(`container.part.${part}`)}
              note={weight(one.holds_g! * SHARE[part])}
              about={one.name}
              onTap={() => left(one.holds_g! * SHARE[part])}
            />
          ))}
        <Tape verb={say('container.empty')} about={one.name} onTap={() => left(0)} />
      </div>
      <form class="stack" onSubmit={weigh}>
        <Field
          label={say('container.weighed', { unit: settings.value.weight })}
          value={typed}
          mode="decimal"
        />
        <button type="submit" class="quiet">
          {say('container.keep')}
        </button>
      </form>
    </>
  );
}

function TakeIn({ material }: { material: string }) {
  const [name, holds, expires, every] = [useSignal(''), useSignal(''), useSignal(''), useSignal('')];
  const unit = settings.value.weight;
  const add = async (event: Event) => {
    event.preventDefault();
    if (!name.value.trim()) return;
    const holds_g = toGrams(decimal(holds.value));
    const test_every_days = decimal(every.value);
    const said = {
      container: newId(),
      material,
      name: name.value.trim(),
      ...(holds_g > 0 && { holds_g }),
      ...(expires.value && { expires: expires.value }),
      ...(test_every_days > 0 && { test_every_days }),
    };
    if (await tell('container_taken_in', said)) {
      name.value = holds.value = expires.value = every.value = '';
    }
  };
  return (
    <details>
      <summary class="quiet">{say('container.new')}</summary>
      <form class="stack unfolded" onSubmit={add}>
        <Field label={say('container.name')} value={name} required />
        <Field label={say('container.holds', { unit })} value={holds} mode="decimal" />
        <Field label={say('container.expires_on')} value={expires} type="date" />
        <Field label={say('container.test_every')} value={every} mode="decimal" />
        <button type="submit" class="tape tape-wide">
          <span class="tape-verb">{say('container.take_in')}</span>
        </button>
      </form>
    </details>
  );
}
