/** Who comes in from outside the house, by which name, and when was that last done? */
import { useSignal } from '@preact/signals';
import { minute } from '../models/clock';
import { isOwner } from '../models/shop';
import type { Instant } from '../models/view';
import { Field } from '../parts/field';
import { LinkRow } from '../parts/link-row';
import { Sign } from '../parts/sign';
import { Surely } from '../parts/surely';
import { useTold } from '../parts/use-told';
import { Wrong } from '../parts/wrong';
import { post } from '../sync/ask';
import { say } from '../words/say';
import { when } from '../words/times';

interface OutsideTold {
  reached: boolean;
  name: string;
  set_at: Instant | null;
  used_at: Instant | null;
  used_from: string;
  refused_at: Instant | null;
  refused_from: string;
}

const SETTING = 'CURECLOCK_OUTSIDE';

type Act = (work: () => Promise<unknown>) => Promise<boolean>;

export default function Outside() {
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.outside')}</h1>
      {isOwner.value ? <Own /> : <p>{say('outside.owner')}</p>}
    </main>
  );
}

function Own() {
  const { told, wrong, act } = useTold<OutsideTold>('/api/outside-password');
  const door = told.value;
  return (
    <>
      {door && <State door={door} />}
      {door?.reached && <SetIt key={door.name} door={door} act={act} />}
      <Wrong says={wrong.value} />
      {door?.name && (
        <Surely
          verb={say('outside.drop')}
          about={door.name}
          onTap={() => act(() => post('/api/outside-password/drop', {}))}
        >
          <p>{say('outside.drop_does', { name: door.name })}</p>
        </Surely>
      )}
      <LinkRow href="/settings" title={say('set.phones')} note={say('outside.phones_note')} />
    </>
  );
}

function State({ door }: { door: OutsideTold }) {
  const now = minute.value;
  return (
    <section class="stack">
      {!door.reached && (
        <div class="notice">
          <Sign kind="heed" />
          <p>
            {say('outside.shut')} <span class="address">{SETTING}</span>
          </p>
        </div>
      )}
      <p class="line-when">
        <Sign kind={door.name ? 'may' : 'wait'} />
        <b class="line-name">
          {door.name && door.set_at
            ? say('outside.set', { name: door.name, at: when(door.set_at, now) })
            : say('outside.unset')}
        </b>
      </p>
      {door.name && (
        <p>
          {door.used_at
            ? say('outside.used', { at: when(door.used_at, now), from: door.used_from })
            : say('outside.unused')}
        </p>
      )}
      {door.refused_at && (
        <p class="line-when">
          <Sign kind="heed" />
          <span>
            {say('outside.refused', { at: when(door.refused_at, now), from: door.refused_from })}
          </span>
        </p>
      )}
    </section>
  );
}

function SetIt({ door, act }: { door: OutsideTold; act: Act }) {
  const [name, password, again] = [useSignal(door.name), useSignal(''), useSignal('')];
  const wrong = useSignal('');
  const keep = async (event: Event) => {
    event.preventDefault();
    wrong.value = password.value === again.value ? '' : say('outside.differ');
    if (wrong.value) return;
    const said = { name: name.value.trim(), password: password.value };
    if (await act(() => post('/api/outside-password', said))) password.value = again.value = '';
  };
  return (
    <form class="stack" onSubmit={keep}>
      <h2 class="part-head">{say(door.name ? 'outside.change' : 'outside.make')}</h2>
      <div class="notice">
        <Sign kind="heed" />
        <p>{say('outside.danger')}</p>
      </div>
      <Field label={say('outside.name')} value={name} required />
      <Field label={say('outside.password')} value={password} type="password" most={500} required />
      <Field label={say('outside.again')} value={again} type="password" most={500} required />
      <Wrong says={wrong.value} />
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say(door.name ? 'outside.change_it' : 'outside.set_it')}</span>
      </button>
    </form>
  );
}
