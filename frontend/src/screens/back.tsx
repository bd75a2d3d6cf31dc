/** What really happened, what was early, cold, late or lost, and what should change? */
import { useSignal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { stripBack, type Review } from '../models/back';
import { minute } from '../models/clock';
import { view } from '../models/shop';
import { LinkRow } from '../parts/link-row';
import { NightStrip } from '../parts/night-strip';
import { pullKept } from '../sync/pull';
import { temp } from '../units/temperature';
import { isKey, say, word, type Key } from '../words/say';
import { hours, number, when } from '../words/times';

export default function Back() {
  const { query } = useRoute();
  const told = useSignal<Review | undefined>(undefined);
  const silent = useSignal(false);
  const batch = query.batch ?? '';
  useEffect(() => {
    const path = batch ? `/api/review?batch=${encodeURIComponent(batch)}` : '/api/review';
    told.value = undefined;
    pullKept<Review>(`review:${batch}`, path)
      .then((found) => {
        told.value = found;
        silent.value = false;
      })
      .catch(() => (silent.value = true));
  }, [batch]);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.back')}</h1>
      <nav class="rows" aria-label={say('back.of')}>
        {batch && <LinkRow href="/back" title={say('back.week')} />}
        {(view.value?.batches ?? [])
          .filter((one) => one.id !== batch)
          .map((one) => (
            <LinkRow key={one.id} href={`/back?batch=${one.id}`} title={one.name} />
          ))}
      </nav>
      {silent.value && <p role="alert">{say('back.needs_signal')}</p>}
      {told.value && <Told told={told.value} />}
    </main>
  );
}

function Told({ told }: { told: Review }) {
  const now = minute.value;
  return (
    <>
      <h2 class="part-head">
        {told.batch?.name ?? say('back.week')}, {when(told.since, now)} – {when(told.until, now)}
      </h2>
      <Figures told={told} />
      <section>
        <h2 class="part-head">{say('back.changes')}</h2>
        <ul class="also">
          {told.changes.map((one) => (
            <li key={one.words}>{one.words}</li>
          ))}
        </ul>
      </section>
      <Mistakes told={told} />
      <Strips told={told} />
      <Against told={told} />
      <Pieces told={told} />
      <Papers batch={told.batch?.id} />
    </>
  );
}

/** Every figure opens its sum. */
function Figures({ told }: { told: Review }) {
  return (
    <section>
      <h2 class="part-head">{say('back.figures')}</h2>
      {told.figures.map((one) => (
        <details key={one.key} class="sum">
          <summary class="quiet">
            <b>{figure(one.value)}</b> {word(`back.figure.${one.key}`)}
          </summary>
          <table>
            <tbody>
              {one.terms.map((term) => (
                <tr key={`${term.name}${term.at}`}>
                  <td>
                    {term.name}
                    {term.at && <span class="soft"> {when(term.at, minute.value)}</span>}
                  </td>
                  <td>{figure(term.value)}</td>
                </tr>
              ))}
            </tbody>
            <tfoot>
              <tr>
                <th scope="row">{say('why.sum')}</th>
                <td>{figure(one.value)}</td>
              </tr>
            </tfoot>
          </table>
        </details>
      ))}
    </section>
  );
}

function figure(value: number): string {
  return Number.isInteger(value) ? String(value) : number(value, 1);
}

function Mistakes({ told }: { told: Review }) {
  const now = minute.value;
  return (
    <section>
      <h2 class="part-head">{say('back.mistakes')}</h2>
      {told.mistakes.length === 0 && <p>{say('back.no_mistakes')}</p>}
      {told.mistakes.map((one) => (
        <article key={`${one.about?.id}${one.began_at}`} class="notice notice-heed">
          <div>
            <h3>{one.about?.name ?? one.pieces.join(', ')}</h3>
            {one.lines.map((line) => (
              <p key={`${line.at}${line.words}`}>{line.words}</p>
            ))}
            <p class="soft">
              {one.announced_at
                ? say(`back.announced.${one.announced_by}` as Key, {
                    at: when(one.announced_at, now),
                  })
                : say('back.announced.no')}{' '}
              {one.hours_lost > 0 && say('back.lost', { hours: figure(one.hours_lost) })}
            </p>
          </div>
        </article>
      ))}
    </section>
  );
}

/** One under the other on one stretch of time, so that a cold night stands in a column. */
function Strips({ told }: { told: Review }) {
  return (
    <section>
      <h2 class="part-head">{say('back.strips')}</h2>
      {told.groups.map((line) => {
        const strip = stripBack(line, told.since, told.until);
        const temps = strip.air.map((point) => point.temp_c);
        if (temps.length < 2) return null;
        const [low, high] = [temp(Math.min(...temps), 0), temp(Math.max(...temps), 0)];
        return (
          <a key={line.id} class="line" href={`/wait/${line.id}`}>
            <b>{line.name}</b>{' '}
            <span class="soft">
              {line.material}, {line.place}
              {line.suspect && `, ${say('who.trait.suspect')}`}
            </span>
            <NightStrip
              small
              strip={strip}
              now_ms={strip.to_ms}
              label={say('back.strip', { name: line.name, low, high })}
            />
          </a>
        );
      })}
    </section>
  );
}

function Against({ told }: { told: Review }) {
  const cold = told.coldest.filter((one) => one.below);
  return (
    <details class="sum">
      <summary class="quiet">{say('back.against')}</summary>
      <ul class="also">
        {cold.map((one) => (
          <li key={one.group.id}>
            <b>{one.group.name}</b> {say('back.coldest')}:{' '}
            {say('back.cold_line', { temp: temp(one.temp_c), floor: temp(one.floor_c, 0) })}
          </li>
        ))}
        {told.against.map((one) => (
          <li key={`${one.group.id}${one.kind}`}>
            <b>{one.group.name}</b> {word(`gate.${one.kind}.name`)}:{' '}
            {say('back.took', {
              label: hours(one.label_h),
              took: one.took_h === null ? '?' : hours(one.took_h),
            })}
            {one.spare_h !== null &&
              `, ${say(one.spare_h < 0 ? 'back.early' : 'back.spare', { spare: hours(Math.abs(one.spare_h)) })}`}
          </li>
        ))}
      </ul>
    </details>
  );
}

function Pieces({ told }: { told: Review }) {
  return (
    <section>
      <h2 class="part-head">{say('back.pieces')}</h2>
      {told.pieces.map((piece) => (
        <details key={piece.id} class="sum">
          <summary class="quiet">
            {piece.tag} <span class="soft">{piece.what}</span>
          </summary>
          <ol class="also">
            {piece.acts.map((act, at) => (
              <li key={at}>
                <span class="figures">{when(act.at, minute.value)}</span>{' '}
                {isKey(`told.${act.kind}`) ? word(`told.${act.kind}`) : act.kind.replaceAll('_', ' ')}
                , {act.about} <span class="soft">{act.who}</span>
              </li>
            ))}
          </ol>
        </details>
      ))}
    </section>
  );
}

function Papers({ batch }: { batch: string | undefined }) {
  const of = batch ? `?batch=${batch}` : '';
  const papers: [Key, string][] = [
    ['back.table_told', `/api/tables/happenings${of}`],
    ['back.table_waits', `/api/tables/waits${of}`],
  ];
  if (batch) {
    papers.push(
      ['back.sheet', `/api/papers/batch-sheet${of}`],
      ['back.cards', `/api/papers/care-cards${of}`],
      ['back.tags', `/api/papers/tags${of}`],
    );
  }
  return (
    <section class="stack">
      {papers.map(([name, href]) => (
        <a key={href} class="quiet" href={href} target="_blank" rel="noopener">
          {say(name)}
        </a>
      ))}
    </section>
  );
}
