/** What only the server can work out of a night: the latest press for an hour, what to see to. */
import { signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { view } from '../models/shop';
import type { Instant } from '../models/view';
import { pullKept } from '../sync/pull';
import { say, word } from '../words/say';
import { when } from '../words/times';
import { Choose } from './choose';

interface Told {
  places: { place: string; says: string }[];
  press: {
    label: string;
    place: string;
    says: string;
    gates: { kind: string; latest: Instant | null }[];
  }[];
  box: { group: string; says: string }[];
  before_you_go: { key: string; says: string }[];
}

const HOURS = ['06:00', '08:00', '10:00', '12:00', '14:00'];
const by = signal('08:00');

export function NightTold() {
  const told = useSignal<Told | undefined>(undefined);
  const told_at = view.value?.now;
  useEffect(() => {
    pullKept<Told>(`tonight:${by.value}`, `/api/tonight?by=${by.value}`)
      .then((found) => (told.value = found))
      .catch(() => undefined);
  }, [by.value, told_at]);
  if (!told.value) return null;
  return (
    <>
      <List head={say('tonight.go')} says={told.value.before_you_go.map((one) => one.says)} />
      <List head={say('tonight.box')} says={told.value.box.map((one) => one.says)} />
      <section class="stack">
        <Choose
          small
          legend={say('tonight.by')}
          chosen={new Set([by.value])}
          onChoose={(hour) => (by.value = hour)}
          choices={HOURS.map((hour) => ({ value: hour, label: hour }))}
        />
        {told.value.press.map((one) => (
          <details key={`${one.label}${one.place}`}>
            <summary class="quiet">{one.says}</summary>
            <ul class="also">
              {one.gates.map((gate) => (
                <li key={gate.kind}>{gateWords(gate.kind, gate.latest)}</li>
              ))}
            </ul>
          </details>
        ))}
      </section>
      <List head={say('tonight.colds')} says={told.value.places.map((one) => one.says)} />
    </>
  );
}

function gateWords(kind: string, latest: Instant | null): string {
  const gate = word(`gate.${kind}.name`);
  return latest
    ? say('tonight.open_by', { gate, at: when(latest, minute.value, 'down') })
    : say('tonight.too_late', { gate });
}

function List({ head, says }: { head: string; says: readonly string[] }) {
  if (!says.length) return null;
  return (
    <section>
      <h2 class="part-head">{head}</h2>
      <ul class="also">
        {says.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
    </section>
  );
}
