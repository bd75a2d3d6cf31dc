/** Paired phones, and the link that pairs one more. */
import { useSignal, type Signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { trouble } from '../models/shop';
import type { Thing } from '../models/view';
import { AskFailed, get, post } from '../sync/ask';
import { Choose } from '../parts/choose';
import { Surely } from '../parts/surely';
import { count, say } from '../words/say';
import { when } from '../words/times';
import { problemWords, Wrong } from '../parts/wrong';

interface PairedPhone extends Thing {
  person: Thing;
  seen_at: string | null;
  unsent: number;
}

export function Phones({ changed }: { changed: Signal<number> }) {
  const phones = useSignal<PairedPhone[]>([]);
  useEffect(() => {
    void get<{ phones: PairedPhone[] }>('/api/phones').then(
      (told) => (phones.value = told.phones),
      ignored,
    );
  }, [changed.value]);
  const unpair = async (id: string) => {
    await post(`/api/phones/${id}/unpair`, {}).catch(ignored);
    changed.value += 1;
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('set.phones')}</h2>
      <ul class="rows">
        {phones.value.map((phone) => (
          <li class="stack container" key={phone.id}>
            <p>
              <b>{phone.name}</b>
              <br />
              <span class="soft">
                {phone.seen_at
                  ? say('set.phone_seen', {
                      person: phone.person.name,
                      at: when(phone.seen_at, minute.value),
                    })
                  : say('set.phone_never', { person: phone.person.name })}
                {phone.unsent > 0 && `, ${count('state.kept', phone.unsent)}`}
              </span>
            </p>
            <Surely verb={say('set.unpair')} about={phone.name} onTap={() => unpair(phone.id)}>
              <p>{say('set.unpair_does', { name: phone.name })}</p>
              {phone.unsent > 0 && <p>{count('set.unpair_kept', phone.unsent)}</p>}
            </Surely>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface Link {
  url: string;
  qr_svg: string;
  until: string;
}

const ROLES = ['helper', 'owner', 'viewer'] as const;

export function AnotherPhone({ onMade }: { onMade: () => void }) {
  const person = useSignal('');
  const role = useSignal<string>('helper');
  const link = useSignal<Link | undefined>(undefined);
  const wrong = useSignal('');
  const make = async (event: Event) => {
    event.preventDefault();
    try {
      link.value = await post<Link>('/api/pairing-links', {
        person_name: person.value.trim(),
        role: role.value,
      });
      wrong.value = '';
      onMade();
    } catch (cause) {
      wrong.value = problemWords(cause);
    }
  };
  return (
    <form class="stack" onSubmit={make}>
      <h2 class="part-head">{say('set.another')}</h2>
      <label class="field">
        <span>{say('set.person')}</span>
        <input
          required
          maxLength={80}
          value={person.value}
          onInput={(event) => (person.value = event.currentTarget.value)}
        />
      </label>
      <Choose
        legend={say('set.role')}
        chosen={new Set([role.value])}
        onChoose={(value) => (role.value = value)}
        choices={ROLES.map((one) => ({ value: one, label: say(`set.role.${one}`) }))}
      />
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('set.make_link')}</span>
      </button>
      <Wrong says={wrong.value} />
      {link.value && <MadeLink link={link.value} />}
    </form>
  );
}

function MadeLink({ link }: { link: Link }) {
  return (
    <figure class="stack">
      <img
        class="qr"
        alt={link.url}
        src={`data:image/svg+xml;utf8,${encodeURIComponent(link.qr_svg)}`}
      />
      <figcaption>
        {say('set.scan', { at: when(link.until, minute.value) })}
        <br />
        <span class="address">{link.url}</span>
      </figcaption>
    </figure>
  );
}

function ignored(cause: unknown): void {
  trouble.value = cause instanceof AskFailed ? cause.failure : 'server_trouble';
}
