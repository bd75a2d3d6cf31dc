/** What is known of the wood and the press: kept for the next time, none of it needed to begin. */
import { useEffect } from 'preact/hooks';
import { CUT_H, cut, from_place, hoursFrom, PRESS, WOOD, wood, woods } from '../models/check';
import { library, needLibrary } from '../models/library';
import { view } from '../models/shop';
import { say } from '../words/say';
import { span } from '../words/times';
import { Choose, toggled } from './choose';
import { Figure } from './figure';
import { Fold } from './fold';

const HOUR_MS = 3_600_000;

export function DescribeWood() {
  return (
    <Fold title={say('check.describe_wood')}>
      {() => (
        <div class="stack">
          <Kinds />
          {[...WOOD, ...PRESS].map((name) => (
            <Figure
              key={name}
              label={`check.wood.${name}`}
              value={wood.value[name]}
              onValue={(value) => (wood.value = { ...wood.value, [name]: value })}
            />
          ))}
          <Choose
            legend={say('check.from_place')}
            chosen={new Set([from_place.value])}
            onChoose={(value) => (from_place.value = value)}
            choices={[
              { value: '', label: say('check.from_here') },
              ...(view.value?.places ?? []).map((one) => ({ value: one.id, label: one.name })),
            ]}
          />
          <Choose
            legend={say('check.cut')}
            chosen={new Set([cut.value.h])}
            onChoose={(h) => (cut.value = h ? hoursFrom(h, -1) : { h, at: '' })}
            choices={[
              { value: '', label: say('check.unsaid') },
              ...CUT_H.map((hours) => ({
                value: String(hours),
                label: say('check.cut_ago', { span: span(hours * HOUR_MS) }),
              })),
            ]}
          />
        </div>
      )}
    </Fold>
  );
}

function Kinds() {
  useEffect(() => void needLibrary(), []);
  const all = library.value?.woods ?? [];
  if (!all.length) return null;
  return (
    <Fold title={say('check.woods')}>
      {() => (
        <Choose
          many
          legend={say('check.woods')}
          chosen={woods.value}
          onChoose={(value) => (woods.value = toggled(woods.value, value))}
          choices={all.map((one) => ({ value: one.key, label: one.name }))}
        />
      )}
    </Fold>
  );
}
