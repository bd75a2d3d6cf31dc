/** How large, how often, until when: finish to pour, and whether the coats fit before a date. */
import { COAT, coat, due, hoursFrom, sanding, SANDING_H } from '../models/check';
import { say } from '../words/say';
import { span } from '../words/times';
import { Choose } from './choose';
import { Field } from './field';
import { Figure } from './figure';
import { Fold } from './fold';

const HOUR_MS = 3_600_000;

export function DescribeCoat() {
  return (
    <Fold title={say('check.describe_coat')}>
      {() => (
        <div class="stack">
          {COAT.map((name) => (
            <Figure
              key={name}
              label={`check.coat.${name}`}
              value={coat.value[name]}
              onValue={(value) => (coat.value = { ...coat.value, [name]: value })}
            />
          ))}
          <Field type="datetime-local" label={say('check.due')} value={due} />
          <Choose
            legend={say('check.sanding')}
            chosen={new Set([sanding.value.h])}
            onChoose={(h) => (sanding.value = h ? hoursFrom(h, 1) : { h, at: '' })}
            choices={[
              { value: '', label: say('check.sanding_no') },
              ...SANDING_H.map((hours) => ({
                value: String(hours),
                label: say('check.sanding_in', { span: span(hours * HOUR_MS) }),
              })),
            ]}
          />
        </div>
      )}
    </Fold>
  );
}
