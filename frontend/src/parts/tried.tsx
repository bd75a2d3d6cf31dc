/** "How is it?" Two touches teach the shop; a witness is told in tenths of torn wood. */
import { minute } from '../models/clock';
import { tell } from '../models/tell';
import type { Gate, Group } from '../models/view';
import { say, word } from '../words/say';
import { Tape } from './tape';

const OF_COAT = ['tacky', 'ready'] as const;
const OF_JOINT = ['soft', 'ready', 'bad'] as const;
const TENTHS = [0, 1, 3, 5, 7, 9, 10];

export function Tried({ group }: { group: Group }) {
  const gate = nextToTry(group);
  if (!gate || group.state === 'spreading' || group.state === 'coating') return null;
  const about = group.kind === 'coat' ? { coat: group.id } : { glue_up: group.id };
  const results = group.kind === 'coat' ? OF_COAT : OF_JOINT;
  return (
    <section class="stack">
      <h2 class="part-head">{say('wait.tried')}</h2>
      <p class="soft">{say('wait.tried_for', { gate: word(`gate.${gate.kind}.name`) })}</p>
      <div class="tiles">
        {results.map((result) => (
          <Tape
            key={result}
            verb={say(`tap.${result}`)}
            about={group.name}
            onTap={() => tell('checked', { gate: gate.kind, result, ...about })}
          />
        ))}
      </div>
      {group.kind === 'glue_up' && <Witness group={group} />}
    </section>
  );
}

function Witness({ group }: { group: Group }) {
  return (
    <div class="stack">
      <h3>{say('wait.witness')}</h3>
      <div class="tiles">
        {TENTHS.map((tenths) => (
          <Tape
            key={tenths}
            verb={String(tenths)}
            note={say('wait.of_ten')}
            about={say('wait.witness')}
            onTap={() => tell('witness', { glue_up: group.id, torn_tenths: tenths })}
          />
        ))}
      </div>
    </div>
  );
}

/** The gate worth trying now: the first that is not open yet, else the last that is. Never one that can hurt. */
export function nextToTry(group: Group): Gate | undefined {
  const opening = group.gates
    .filter((gate) => gate.opens && !gate.hurts && gate.kind !== 'keep_warm' && gate.acts.last)
    .sort((one, other) => one.acts.last!.localeCompare(other.acts.last!));
  return opening.find((gate) => Date.parse(gate.acts.last!) > minute.value) ?? opening.at(-1);
}
