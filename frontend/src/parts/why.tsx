/** "Why?": the sum behind a figure, laid out so that a pencil comes to the same. */
import { useState } from 'preact/hooks';
import { pullKept } from '../sync/pull';
import { minute } from '../models/clock';
import { temp } from '../units/temperature';
import { say, word } from '../words/say';
import { hours, when } from '../words/times';

interface Leg {
  place: string;
  from: string;
  to: string;
  mark: string;
  temp_from: number;
  temp_to: number;
  rate_mean: number;
  banked_h: number;
}

interface Sum {
  kind: string;
  label: {
    value_h: number;
    read_by: string | null;
    container: string;
    read_at: string | null;
    typical: boolean;
    by_wall?: boolean;
  };
  legs: Leg[];
  factors: { name: string; value: number }[];
  margin: number;
}

interface Told {
  waits: { id: string; name?: string; why: Sum[] | Sum }[];
}

export function Why({ group }: { group: string }) {
  const [told, setTold] = useState<Told>();
  const [open, setOpen] = useState(false);
  const [failed, setFailed] = useState(false);
  const toggle = async () => {
    setOpen(!open);
    if (open || told) return;
    try {
      setTold(await pullKept<Told>(`group:${group}`, `/api/groups/${group}`));
      setFailed(false);
    } catch {
      setFailed(true);
    }
  };
  return (
    <section class="why">
      <button type="button" class="quiet" aria-expanded={open} onClick={toggle}>
        {say(open ? 'why.hide' : 'why.show')}
      </button>
      {open && failed && <p role="alert">{say('why.needs_signal')}</p>}
      {open && told && sums(told).map((sum) => <OneSum key={sum.kind} sum={sum} />)}
    </section>
  );
}

function sums(told: Told): Sum[] {
  return told.waits.slice(0, 1).flatMap((wait) => wait.why);
}

function OneSum({ sum }: { sum: Sum }) {
  const gate = word(`gate.${sum.kind}.name`);
  return (
    <section class="sum">
      <h3>{gate}</h3>
      <p>
        {say('why.label_of', { hours: hours(sum.label.value_h), gate })}, {origin(sum)}
      </p>
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
            <td>{hours(sum.legs.reduce((all, leg) => all + leg.banked_h, 0))}</td>
          </tr>
        </tfoot>
      </table>
      <p class="soft">{say('why.pencil')}</p>
      {sum.factors.map((factor) => (
        <p key={factor.name}>
          {word(`factor.${factor.name}`)} × {hours(factor.value)}
        </p>
      ))}
      <p>{say('why.margin_of', { percent: Math.round(sum.margin * 100) })}</p>
    </section>
  );
}

function LegRow({ leg }: { leg: Leg }) {
  const span = say('why.leg.to', { from: when(leg.from, minute.value), to: when(leg.to, minute.value) });
  return (
    <tr>
      <td>
        {span}
        <br />
        <span class="soft">
          {leg.place}, {word(`mark.${leg.mark}`)}
        </span>
      </td>
      <td>
        {temp(leg.temp_from)}
        <br />
        {temp(leg.temp_to)}
      </td>
      <td>{hours(leg.rate_mean)}</td>
      <td>{hours(leg.banked_h)}</td>
    </tr>
  );
}

function origin(sum: Sum): string {
  const { typical, read_by, container, read_at } = sum.label;
  if (typical || !read_by) return say('why.typical');
  const fields = { person: read_by, container, at: read_at ? when(read_at, minute.value) : '' };
  return say(container ? 'why.read_by' : 'why.read_plain', fields);
}
