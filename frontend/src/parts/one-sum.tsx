/** One sum: what the label says, the legs and what each banks, factors, margin, figures. */
import { minute } from '../models/clock';
import type { Sum, SumLeg, WoodSum } from '../models/sum';
import { length } from '../units/length';
import { temp } from '../units/temperature';
import { isKey, say, word } from '../words/say';
import { hours, number, when } from '../words/times';
import { Looks } from './learned';

export function OneSum({ sum }: { sum: Sum }) {
  const gate = word(`gate.${sum.kind}.name`);
  return (
    <details class="sum">
      <summary class="quiet">
        {gate} <span class="soft">{figureWords(sum)}</span>
      </summary>
      <p>
        {say('why.label_of', { hours: hours(sum.label.value_h), gate })}, {origin(sum)}.
      </p>
      {sum.learned && <Looks learned={sum.learned} />}
      {sum.factors.map((factor) => (
        <p key={factor.name}>
          {say(factor.name === 'pot' ? 'why.factor.pot' : 'why.factor', {
            value: hours(factor.value),
          })}
        </p>
      ))}
      {sum.need_h !== sum.label.value_h && <p>{say('why.need', { hours: hours(sum.need_h) })}</p>}
      <p>{ruleWords(sum)}</p>
      <Legs sum={sum} />
      {sum.remaining_h > 0 && <p>{say('why.wanting', { hours: hours(sum.remaining_h) })}</p>}
      <p class="soft">
        {say('why.pencil', { hours: hours(sum.need_h), at: when(sum.since, minute.value) })}
      </p>
      {sum.opens && <p>{marginWords(sum)}</p>}
      {sum.wood && <p>{woodWords(sum, sum.wood)}</p>}
    </details>
  );
}

function Legs({ sum }: { sum: Sum }) {
  return (
    <table>
      <caption class="unseen">{say('why.legs')}</caption>
      <thead>
        <tr>
          <th scope="col">{say('why.leg.when')}</th>
          <th scope="col">{say('why.leg.air')}</th>
          <th scope="col">{say('why.leg.rate')}</th>
          <th scope="col">{say('why.leg.banked')}</th>
        </tr>
      </thead>
      <tbody>
        {sum.legs.map((leg) => (
          <LegRow leg={leg} key={leg.from} />
        ))}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row" colSpan={3}>
            {say('why.sum')}
          </th>
          <td>{number(sum.sum_h, 2)}</td>
        </tr>
      </tfoot>
    </table>
  );
}

function LegRow({ leg }: { leg: SumLeg }) {
  const [from, to] = [when(leg.from, minute.value), when(leg.to, minute.value)];
  return (
    <tr>
      <td>
        {say('why.leg.to', { from, to })}
        <br />
        <span class="soft">
          {hours(leg.hours)} h, {leg.place}, {word(`mark.${leg.mark}`)}
        </span>
      </td>
      <td>
        {temp(leg.temp_from)}
        {leg.temp_to !== leg.temp_from && (
          <>
            <br />
            {temp(leg.temp_to)}
          </>
        )}
      </td>
      <td>{number(leg.rate_mean, 3)}</td>
      <td>{number(leg.banked_h, 2)}</td>
    </tr>
  );
}

function origin(sum: Sum): string {
  const { typical, read_by, container, read_at } = sum.label;
  if (typical || !read_by) return say('why.typical');
  const fields = { person: read_by, container, at: when(read_at, minute.value) };
  return say(container ? 'why.read_by' : 'why.read_plain', fields);
}

function ruleWords(sum: Sum): string {
  if (sum.label.by_wall) return say('why.by_wall');
  const { kind, q, label_temp_c, label_rh_pct, rows } = sum.rule;
  const label = temp(label_temp_c, 0);
  if (rows.length > 0) {
    const printed = rows.map(([at_c, for_h]) => `${temp(at_c, 0)}: ${hours(for_h)} h`).join(', ');
    return say('why.rule.table', { rows: printed });
  }
  const key = `why.rule.${kind}`;
  return say(isKey(key) ? key : 'why.rule.other', { q: hours(q), label, rh: label_rh_pct });
}

function marginWords(sum: Sum): string {
  const percent = Math.round(sum.margin * 100);
  const need =
    sum.sure_need_h === null ? '' : ` ${say('why.sure_need', { hours: hours(sum.sure_need_h) })}`;
  return say('why.margin_of', { percent }) + need;
}

/** How the wood counts: as the air, or behind it and what that does to the figure. */
function woodWords(sum: Sum, wood: WoodSum): string {
  if (wood.thickness_mm === null || wood.own_h === null) return say('why.wood.as_air');
  const [own, lag] = [hours(wood.own_h), hours(wood.lag_h)];
  const rounded = sum.opens ? 'up' : 'down';
  const lags = say(sum.opens ? 'why.wood.lags' : 'why.wood.keeps', {
    thickness: length(wood.thickness_mm),
    own,
    lag,
  });
  const came =
    wood.came_at === null || wood.came_c === null
      ? ''
      : say('why.wood.came', { temp: temp(wood.came_c), at: when(wood.came_at, minute.value) });
  const air = wood.by_air
    ? say('why.wood.by_air', { at: when(wood.by_air, minute.value, rounded) })
    : '';
  return [lags, came, air].filter(Boolean).join(' ');
}

function figureWords(sum: Sum): string {
  const { bare, not_before, not_after, sure } = sum.figures;
  const now = minute.value;
  const acts = sum.hurts ? sure : sum.opens ? not_before : not_after;
  const key = sum.hurts ? 'wait.sure' : sum.opens ? 'wait.not_before' : 'wait.not_after';
  const parts = [
    bare ? say('wait.bare', { at: when(bare, now, sum.opens ? 'up' : 'down') }) : say('time.never'),
    acts ? say(key, { at: when(acts, now, sum.opens ? 'up' : 'down') }) : '',
  ];
  return parts.filter(Boolean).join(', ');
}
