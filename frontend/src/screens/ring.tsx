/** Will it ring? Which phones heard the test, which stay silent, and who minds the shop. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute, shopTime } from '../models/clock';
import { heardOf, mayStillSay, ring, type Ring, type Way } from '../models/ring';
import { isOwner, mayRecord, served } from '../models/shop';
import { tell } from '../models/tell';
import { Choose } from '../parts/choose';
import { LinkRow } from '../parts/link-row';
import { LetItRing } from '../parts/let-it-ring';
import { OtherWay } from '../parts/other-way';
import { Sign, type SignKind } from '../parts/sign';
import { Tape } from '../parts/tape';
import { problemWords } from '../parts/wrong';
import { post } from '../sync/ask';
import { pullRing } from '../sync/push';
import { say, word } from '../words/say';
import { when } from '../words/times';

const LOOK_AGAIN_MS = 2000;
const HOLDS_MIN = [20, 40, 60];

export default function RingRoom() {
  const failed = useSignal(false);
  const look = () =>
    pullRing().then(
      () => (failed.value = false),
      () => (failed.value = true),
    );
  useEffect(() => void look(), [minute.value]);
  const waiting = ring.value?.ways.some(mayStillSay) ?? false;
  useEffect(() => {
    if (!waiting) return undefined;
    const timer = setInterval(() => void look(), LOOK_AGAIN_MS);
    return () => clearInterval(timer);
  }, [waiting]);
  const told = ring.value;
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.ring')}</h1>
      {failed.value && <p role="alert">{say('ring.needs_signal')}</p>}
      {told && <Sender told={told} />}
      <section class="stack">
        <h2 class="part-head">{say('ring.this_phone')}</h2>
        <LetItRing onDone={look} />
      </section>
      {told && <Ways ways={told.ways} onChanged={look} />}
      {told && <Silent told={told} />}
      <p>{say('ring.cannot')}</p>
      {told && mayRecord.value && <Minders told={told} onChanged={look} />}
      {mayRecord.value && (
        <LinkRow href="/hours" title={say('room.hours')} note={say('room.hours.asks')} />
      )}
      {told && mayRecord.value && <Hold told={told} onChanged={look} />}
      {mayRecord.value && <OtherWay onAdded={look} />}
    </main>
  );
}

function Sender({ told }: { told: Ring }) {
  if (told.well) {
    return (
      <p class="line-when">
        <Sign kind="may" /> {say('ring.well')}
      </p>
    );
  }
  return (
    <div class="notice notice-stop" role="alert">
      <Sign kind="stop" />
      <p>{say(told.holding ? 'ring.holding' : 'ring.ill')}</p>
    </div>
  );
}

const SIGNS: Record<ReturnType<typeof heardOf>, SignKind> = {
  dead: 'stop',
  lost: 'stop',
  never: 'unsure',
  taken: 'unsure',
  waiting: 'wait',
  shown: 'may',
  heard: 'may',
};

interface WaysProps {
  ways: readonly Way[];
  onChanged: () => Promise<unknown>;
}

function Ways({ ways, onChanged }: WaysProps) {
  const wrong = useSignal('');
  const ask = async (path: string) => {
    wrong.value = await post(path, {}).then(() => '', problemWords);
    await onChanged();
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('ring.ways')}</h2>
      {ways.length === 0 && <p>{say('ring.no_ways')}</p>}
      {wrong.value && (
        <p class="notice notice-heed" role="alert">
          {wrong.value}
        </p>
      )}
      {ways.map((way) => {
        const name = way.phone || word(`ring.kind.${way.kind}`);
        return (
          <div class="stack way" key={way.id}>
            <p>
              <b class="line-name">{way.person}</b> {name}
              <span class="line-when">
                <Sign kind={SIGNS[heardOf(way)]} />
                <span>{heardWords(way)}</span>
              </span>
            </p>
            {mayRecord.value && (
              <div class="pair">
                {!way.dead_since && (
                  <Tape
                    verb={say('ring.test')}
                    about={`${way.person}, ${name}`}
                    onTap={() => ask(`/api/ways/${way.id}/test`)}
                  />
                )}
                {(isOwner.value || way.person === served.value?.me.person.name) && (
                  <button
                    type="button"
                    class="quiet"
                    aria-label={`${say('ring.drop')} – ${way.person}, ${name}`}
                    onClick={() => ask(`/api/ways/${way.id}/drop`)}
                  >
                    {say('ring.drop')}
                  </button>
                )}
              </div>
            )}
          </div>
        );
      })}
    </section>
  );
}

function heardWords(way: Way): string {
  const heard = heardOf(way);
  const at = way.seen_at ?? way.shown_at ?? way.dead_since ?? way.tested_at;
  const told = heard === 'taken' && !mayStillSay(way) ? 'taken_mail' : heard;
  return word(`ring.heard.${told}`, {
    at: at ? when(at, minute.value) : '',
    why: way.dead_why,
  });
}

function Silent({ told }: { told: Ring }) {
  if (!told.silent.length) return null;
  return (
    <section>
      <h2 class="part-head">{say('ring.silent')}</h2>
      <ul class="also">
        {told.silent.map((one) => (
          <li key={one.phone}>
            <b>{one.name}</b>
            <span class="line-when">
              <Sign kind="heed" />
              <span>
                {one.seen_at
                  ? say('ring.silent_seen', {
                      person: one.person,
                      at: when(one.seen_at, minute.value),
                    })
                  : say('ring.silent_never', { person: one.person })}
              </span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface ToldProps {
  told: Ring;
  onChanged: () => Promise<unknown>;
}

function Minders({ told, onChanged }: ToldProps) {
  const said = useSignal<Record<string, string>>({});
  const choose = async (person: string, minds: string) => {
    const body = { person, second: minds === 'second', over: minds === 'no' };
    if (!(await tell('shop_minded', body, 0))) return;
    said.value = { ...said.value, [person]: minds };
    await onChanged();
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('ring.minds')}</h2>
      <p>{say('ring.minds_note')}</p>
      {told.minders.map((one) => (
        <Choose
          key={one.person}
          legend={one.name}
          small
          chosen={new Set([said.value[one.person] ?? one.minds])}
          onChoose={(minds) => void choose(one.person, minds)}
          choices={(['first', 'second', 'no'] as const).map((minds) => ({
            value: minds,
            label: say(`ring.minds.${minds}`),
          }))}
        />
      ))}
    </section>
  );
}

function Hold({ told, onChanged }: ToldProps) {
  const me = served.value?.me.person.id;
  const until = useSignal<string | null>(null);
  const held = until.value ?? told.minders.find((one) => one.person === me)?.held_until ?? null;
  const hold = async (min: number) => {
    const end = min ? new Date(shopTime() + min * 60_000 - 1000).toISOString() : null;
    if (!(await tell('alerts_held', { until: end, only_me: true }, 0))) return;
    until.value = end ?? '';
    await onChanged();
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('ring.hold')}</h2>
      <p>{say('ring.hold_note')}</p>
      {held && <p class="line-name">{say('ring.hold_until', { at: when(held, minute.value) })}</p>}
      <div class="tiles">
        {HOLDS_MIN.map((min) => (
          <Tape key={min} verb={say('ring.hold_min', { min })} onTap={() => hold(min)} />
        ))}
      </div>
      {held && (
        <button type="button" class="quiet" onClick={() => hold(0)}>
          {say('ring.hold_end')}
        </button>
      )}
    </section>
  );
}
