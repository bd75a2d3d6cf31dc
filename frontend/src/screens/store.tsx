/** Which lot is dry enough, when will the other be, and when to look again? */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { mayRecord } from '../models/shop';
import { tell } from '../models/tell';
import type { Instant } from '../models/view';
import { Match } from '../parts/wood-match';
import { NameField } from '../parts/name-field';
import { newId } from '../sync/outbox';
import { pullKept } from '../sync/pull';
import { say, word } from '../words/say';
import { day, dayOf, number, when } from '../words/times';
import { decimal } from '../units/decimal';

export interface Lot {
  id: string;
  name: string;
  place: string;
  mc_pct: number | null;
  metered_at: Instant | null;
  emc_pct: number | null;
  word: string;
  forecast: Record<'likely' | 'earliest' | 'latest', Instant | null> | null;
  settles: { settles_g: number; near_at: Instant } | null;
  look_again_at: Instant | null;
  weighed: unknown[];
}

const SENT_MS = 1500;

export default function Store() {
  const lots = useSignal<Lot[] | undefined>(undefined);
  const silent = useSignal(false);
  const pull = () =>
    pullKept<{ lots: Lot[] }>('lots', '/api/lots')
      .then((told) => {
        lots.value = told.lots;
        silent.value = false;
      })
      .catch(() => (silent.value = true));
  useEffect(() => void pull(), []);
  const told = () => void setTimeout(pull, SENT_MS);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.store')}</h1>
      {silent.value && <p role="alert">{say('back.needs_signal')}</p>}
      {lots.value?.length === 0 && <p>{say('store.none')}</p>}
      {lots.value?.map((lot) => (
        <LotLine key={lot.id} lot={lot} onTold={told} />
      ))}
      {(lots.value?.length ?? 0) > 1 && <Match lots={lots.value!} />}
      {mayRecord.value && <NewLot onTold={told} />}
    </main>
  );
}

function LotLine({ lot, onTold }: { lot: Lot; onTold: () => void }) {
  const now = minute.value;
  const told = (at: Instant | null | undefined) => (at ? day(dayOf(Date.parse(at))) : '?');
  return (
    <article class="line">
      <h2 class="part-head">
        {lot.name} <span class="soft">{lot.place}</span>
      </h2>
      <p>
        <b>{word(`store.word.${lot.word}`)}</b>{' '}
        {lot.mc_pct !== null && lot.metered_at
          ? say('store.mc', { mc: number(lot.mc_pct, 1), at: when(lot.metered_at, now) })
          : say('store.unmetered')}
      </p>
      {lot.word === 'never' && lot.emc_pct !== null && (
        <p>{say('store.never', { emc: number(lot.emc_pct, 1) })}</p>
      )}
      {lot.forecast?.likely && lot.word !== 'dry' && (
        <p>
          {say('store.likely', {
            likely: told(lot.forecast.likely),
            earliest: told(lot.forecast.earliest),
            latest: told(lot.forecast.latest),
          })}
        </p>
      )}
      {lot.settles && (
        <p>
          {say('store.settles', {
            grams: number(lot.settles.settles_g, 0),
            at: told(lot.settles.near_at),
          })}
        </p>
      )}
      {lot.look_again_at && (
        <p class="soft">{say('store.look_again', { at: told(lot.look_again_at) })}</p>
      )}
      {mayRecord.value && <Look lot={lot} onTold={onTold} />}
    </article>
  );
}

function Look({ lot, onTold }: { lot: Lot; onTold: () => void }) {
  const [face, core, grams] = [useSignal(''), useSignal(''), useSignal('')];
  const keep = async (event: Event) => {
    event.preventDefault();
    const [mc_pct, core_pct, weight_g] = [face, core, grams].map((one) => decimal(one.value));
    if (Number.isFinite(mc_pct)) {
      const said = { lot: lot.id, mc_pct, ...(Number.isFinite(core_pct) && { core_pct }) };
      await tell('metered', said);
    }
    if (Number.isFinite(weight_g)) await tell('weighed', { lot: lot.id, weight_g });
    face.value = core.value = grams.value = '';
    onTold();
  };
  return (
    <details>
      <summary class="quiet">{say('store.look')}</summary>
      <form class="stack" onSubmit={keep}>
      <NameField label="store.metered" value={face} />
      <NameField label="store.core" value={core} />
      {lot.weighed.length > 0 && <NameField label="store.weighed" value={grams} />}
      <button type="submit" class="quiet">
        {say('store.keep')}
      </button>
      </form>
    </details>
  );
}

function NewLot({ onTold }: { onTold: () => void }) {
  const [name, wanted] = [useSignal(''), useSignal('')];
  const add = async (event: Event) => {
    event.preventDefault();
    if (!name.value.trim()) return;
    const wanted_pct = decimal(wanted.value);
    const said = { lot: newId(), name: name.value.trim() };
    if (await tell('lot_taken_in', Number.isFinite(wanted_pct) ? { ...said, wanted_pct } : said)) {
      name.value = wanted.value = '';
      onTold();
    }
  };
  return (
    <form class="stack" onSubmit={add}>
      <h2 class="part-head">{say('store.new')}</h2>
      <NameField label="store.name" value={name} />
      <NameField label="store.wanted" value={wanted} />
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('store.take_in')}</span>
      </button>
    </form>
  );
}
