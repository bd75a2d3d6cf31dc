/** The containers of one material: opened, frozen, tried, how much is left, how old; each in a touch. */
import { useSignal } from '@preact/signals';
import type { Container } from '../models/containers';
import { settings } from '../models/settings';
import { mayRecord } from '../models/shop';
import { tell } from '../models/tell';
import type { Said } from '../store/tap';
import { newId } from '../sync/outbox';
import { decimal } from '../units/decimal';
import { toGrams, weight } from '../units/weight';
import { say } from '../words/say';
import { Ago } from './ago';
import { containerFacts, Odd, useShelf } from './container-told';
import { Field } from './field';
import { Tape } from './tape';

/** Of what it holds; the eye tells no finer. */
const PARTS = ['whole', 'three_quarters', 'half', 'quarter'] as const;
const SHARE = { whole: 1, three_quarters: 0.75, half: 0.5, quarter: 0.25 };

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
        {containerFacts(one).map((line) => (
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
