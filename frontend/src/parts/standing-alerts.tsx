/** What was told and nobody has taken: one touch, and the others go quiet. */
import { SAYS, taken, toAnswer, type StandingAlert } from '../models/alerts';
import { mayRecord } from '../models/shop';
import { tell } from '../models/tell';
import { say } from '../words/say';
import { Tape } from './tape';

const AT_ONCE = 3;

export function StandingAlerts() {
  const open = mayRecord.value ? toAnswer.value.slice(0, AT_ONCE) : [];
  if (!open.length && !taken.value.length) return null;
  return (
    <section class="part part-heed">
      <h2 class="part-head">{say('alert.told')}</h2>
      {open.map((one) => (
        <ToAnswer alert={one} key={one.id} />
      ))}
      {taken.value.map((one) => (
        <a class="row-link" href={one.link} key={one.id}>
          {say('alert.taken', { name: one.taken_by, title: one.title })}
        </a>
      ))}
    </section>
  );
}

function ToAnswer({ alert }: { alert: StandingAlert }) {
  return (
    <div class="stack">
      <a class="row-link" href={alert.link}>
        <b class="line-name">{alert.title}</b>
        <span>{alert.body.split('\n')[0]}</span>
      </a>
      <div class="tiles">
        {SAYS.map((says) => (
          <Tape
            key={says}
            verb={say(`alert.${says}`)}
            about={alert.title}
            onTap={() => tell('alert_answered', { alert: alert.id, says }, 0)}
          />
        ))}
      </div>
    </div>
  );
}
