/** When is the shop open, when does everybody go home, and who wants quiet when? */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { changed, daysOf, stretches, type Stretch } from '../models/hours';
import { ring, type Minder } from '../models/ring';
import { isOwner, mayRecord, served, view } from '../models/shop';
import { tell } from '../models/tell';
import type { Workshop } from '../models/view';
import { Choose, toggled } from '../parts/choose';
import { Field } from '../parts/field';
import { Tape } from '../parts/tape';
import { pullRing } from '../sync/push';
import { say } from '../words/say';
import { weekdayName } from '../words/times';

const WEEK = [0, 1, 2, 3, 4, 5, 6];

export default function HoursRoom() {
  const shop = view.value?.workshop;
  if (!shop) return null;
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.hours')}</h1>
      <Open shop={shop} />
      <Home shop={shop} />
      <Quiet />
      {isOwner.value && <Name shop={shop} />}
      {!isOwner.value && <p class="soft">{say('hours.owner')}</p>}
    </main>
  );
}

function Open({ shop }: { shop: Workshop }) {
  const days = daysOf(shop.hours);
  const on = useSignal<ReadonlySet<string>>(new Set());
  const [comes, goes] = [useSignal(days[0]?.comes ?? '08:00'), useSignal(days[0]?.goes ?? '18:00')];
  const wrong = useSignal('');
  const keep = async (open: boolean) => {
    wrong.value = !on.value.size
      ? say('hours.choose')
      : open && !(comes.value && goes.value)
        ? say('hours.bad')
        : '';
    if (wrong.value) return;
    const told = open ? { comes: comes.value, goes: goes.value } : undefined;
    const hours = changed(days, new Set([...on.value].map(Number)), told);
    if (await tell('shop_told', { hours }, 0)) on.value = new Set();
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('hours.open')}</h2>
      {days.length === 0 && <p>{say('hours.none')}</p>}
      {stretches(days).map((one) => (
        <p class="line-name" key={one.from}>
          {stretchWords(one)}
        </p>
      ))}
      {isOwner.value && (
        <>
          <Choose
            many
            small
            legend={say('hours.days')}
            chosen={on.value}
            onChoose={(value) => (on.value = toggled(on.value, value))}
            choices={WEEK.map((day) => ({ value: String(day), label: weekdayName(day) }))}
          />
          <Field type="time" label={say('hours.from')} value={comes} />
          <Field type="time" label={say('hours.until')} value={goes} />
          {wrong.value && <p role="alert">{wrong.value}</p>}
          <div class="pair">
            <Tape verb={say('hours.keep')} onTap={() => keep(true)} />
            <Tape verb={say('hours.free')} onTap={() => keep(false)} />
          </div>
        </>
      )}
    </section>
  );
}

function stretchWords({ from, until, comes, goes }: Stretch): string {
  const names = [...new Set([from, until])].map(weekdayName);
  return say('hours.day', { days: names.join('–'), from: comes, until: goes });
}

function Home({ shop }: { shop: Workshop }) {
  const at = useSignal(shop.home_time.slice(0, 5));
  const keep = async () => {
    if (at.value) await tell('shop_told', { home_time: at.value }, 0);
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('hours.home')}</h2>
      <p class="line-name">{shop.home_time.slice(0, 5)}</p>
      <p>{say('hours.home_note')}</p>
      {isOwner.value && (
        <>
          <Field type="time" label={say('hours.home_at')} value={at} />
          <Tape verb={say('hours.home_keep')} onTap={keep} />
        </>
      )}
    </section>
  );
}

function Name({ shop }: { shop: Workshop }) {
  const name = useSignal(shop.name);
  const keep = async () => {
    if (name.value.trim()) await tell('shop_told', { name: name.value.trim() }, 0);
  };
  return (
    <section class="stack">
      <Field label={say('hours.name')} value={name} />
      <Tape verb={say('hours.name_keep')} disabled={!name.value.trim()} onTap={keep} />
    </section>
  );
}

/** One's own; the owner says it of everybody. */
function Quiet() {
  const failed = useSignal(false);
  const heard = served.value?.now;
  useEffect(() => {
    void pullRing().then(
      () => (failed.value = false),
      () => (failed.value = true),
    );
  }, [heard]);
  const me = served.value?.me.person.id;
  const shown = (ring.value?.minders ?? []).filter((one) => isOwner.value || one.person === me);
  return (
    <section class="stack">
      <h2 class="part-head">{say('quiet.head')}</h2>
      <p>{say('quiet.note')}</p>
      {failed.value && !ring.value && <p role="alert">{say('quiet.needs_signal')}</p>}
      {mayRecord.value && shown.map((one) => <QuietOf one={one} key={one.person} />)}
    </section>
  );
}

function QuietOf({ one }: { one: Minder }) {
  const [was_from, was_until] = [clockOf(one.quiet_from), clockOf(one.quiet_until)];
  const [from, until] = [useSignal(was_from || '21:00'), useSignal(was_until || '07:00')];
  const told = useSignal<[string, string] | undefined>(undefined);
  const [now_from, now_until] = told.value ?? [was_from, was_until];
  const keep = async (quiet_from: string, quiet_until: string) => {
    if (!quiet_from || !quiet_until) return;
    if (await tell('person_told', { person: one.person, quiet_from, quiet_until }, 0)) {
      told.value = [quiet_from, quiet_until];
    }
  };
  return (
    <article class="stack container">
      <h3 class="line-name">{one.name}</h3>
      <p>
        {now_from !== now_until
          ? say('quiet.now', { from: now_from, until: now_until })
          : say('quiet.none')}
      </p>
      <details>
        <summary class="quiet">{say('quiet.from')} …</summary>
        <div class="stack unfolded">
          <Field type="time" label={say('quiet.from')} value={from} />
          <Field type="time" label={say('quiet.until')} value={until} />
          <div class="pair">
            <Tape
              verb={say('quiet.keep')}
              about={one.name}
              onTap={() => keep(from.value, until.value)}
            />
            <Tape
              verb={say('quiet.end')}
              about={one.name}
              onTap={() => keep('00:00', '00:00')}
            />
          </div>
        </div>
      </details>
    </article>
  );
}

function clockOf(told: string | null | undefined): string {
  return told?.slice(0, 5) ?? '';
}
