/** What was learned, beside the label: the figure here, from how many checks, and each of them. */
import { minute } from '../models/clock';
import type { Learned, LearnedSum, Look } from '../models/learned';
import { count, say, word } from '../words/say';
import { hours, when } from '../words/times';

export function LearnedHere({ learned }: { learned: readonly Learned[] }) {
  if (!learned.length) return null;
  return (
    <section>
      <h2 class="part-head">{say('learned.head')}</h2>
      <ul class="also">
        {learned.map((one) => (
          <li key={`${one.gate} ${one.place.id} ${one.coat_number}`}>
            {here(one)}, {say('learned.margin', { percent: Math.round(one.margin * 100) })}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The evidence behind one need, as it stood when the wait began. */
export function Looks({ learned }: { learned: LearnedSum }) {
  const { label_h, need_h, checks, looks } = learned;
  return (
    <>
      <p>{count('learned.why', checks, { label: hours(label_h), need: hours(need_h) })}</p>
      <ul class="also">
        {looks.map((one) => (
          <li key={one.of.id}>{looked(one)}</li>
        ))}
      </ul>
    </>
  );
}

function here(one: Learned): string {
  const place = one.place.name;
  const where = one.coat_number ? say('learned.coat', { place, number: one.coat_number }) : place;
  return count(one.need_h === one.label_h ? 'learned.stands' : 'learned.here', one.checks, {
    gate: word(`gate.${one.gate}.name`),
    where,
    label: hours(one.label_h),
    need: hours(one.need_h),
  });
}

function looked(one: Look): string {
  const fields = {
    name: one.of.name,
    after: one.after_h === null ? '' : hours(one.after_h),
    until: one.until_h === null ? '' : hours(one.until_h),
    at: when(one.at, minute.value),
  };
  if (one.until_h === null) return say('learned.look.not_yet', fields);
  return say(one.after_h === null ? 'learned.look.ready' : 'learned.look.both', fields);
}
