/** One bottle: what counts for it, and reading its own label into it. */
import { useSignal, type Signal } from '@preact/signals';
import { useRoute } from 'preact-iso';
import { mayRecord, view } from '../models/shop';
import { tell } from '../models/tell';
import type { LabelGate, Material } from '../models/view';
import { newId } from '../sync/outbox';
import { Containers } from '../parts/containers';
import { Cautions } from '../parts/caution';
import { NameField } from '../parts/name-field';
import { Missing } from '../parts/missing';
import { LearnedHere } from '../parts/learned';
import { temp } from '../units/temperature';
import { say, word } from '../words/say';
import { hours } from '../words/times';
import { decimal } from '../units/decimal';
import { readWords } from './bottles';

const SHORT_H = 2;

export default function Bottle() {
  const { params } = useRoute();
  const material = view.value?.materials.find((one) => one.id === params.id);
  if (!material) return <Missing />;
  const { gates, min_c, max_rh_pct, container, cautions } = material.label;
  return (
    <main class="room" id="main">
      <header>
        <h1 class="verb">{material.name}</h1>
        <p class="soft">
          {readWords(material)}
          {container && `, ${say('bottle.container', { container })}`}
        </p>
      </header>
      <section>
        <h2 class="part-head">{say('bottle.gates')}</h2>
        <ul class="also">
          {gates.map((gate) => (
            <li key={gate.kind}>
              <b>{word(`gate.${gate.kind}.name`)}</b>
              <span class="figures">
                {say(gate.read ? 'bottle.figure' : 'bottle.figure_typical', {
                  figure: figure(gate),
                })}
              </span>
            </li>
          ))}
        </ul>
        {min_c !== null && <p>{say('bottle.min', { temp: temp(min_c, 0) })}</p>}
        {max_rh_pct !== null && <p>{say('bottle.max_rh', { rh: max_rh_pct })}</p>}
      </section>
      <Containers material={material.id} />
      <LearnedHere learned={material.learned ?? []} />
      <Cautions keys={cautions} container={material.label.id} />
      {mayRecord.value && gates.length > 0 && <ReadLabel material={material} />}
    </main>
  );
}

function ReadLabel({ material }: { material: Material }) {
  const typed = useSignal<Record<string, string>>({});
  const container = useSignal(material.label.container);
  const keep = async (event: Event) => {
    event.preventDefault();
    const values = valuesOf(typed.value, material.label.gates);
    if (!Object.keys(values).length) return;
    const { id, name, family } = material;
    const said = { material: id, label: newId(), name, family, values, container: container.value };
    if (await tell('label_read', said)) typed.value = {};
  };
  return (
    <form class="stack" onSubmit={keep}>
      <h2 class="part-head">{say('bottle.read_it')}</h2>
      <p>{say('bottle.read_note')}</p>
      <NameField label="bottle.which_container" value={container} />
      {material.label.gates.map((gate) => (
        <GateField key={gate.kind} gate={gate} typed={typed} />
      ))}
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('bottle.keep')}</span>
      </button>
    </form>
  );
}

function GateField({ gate, typed }: { gate: LabelGate; typed: Signal<Record<string, string>> }) {
  const short = inMinutes(gate);
  const change = (text: string) => (typed.value = { ...typed.value, [gate.kind]: text });
  return (
    <label class="field">
      <span>
        {word(`gate.${gate.kind}.name`)}, {say(short ? 'bottle.unit.min' : 'bottle.unit.h')}
      </span>
      <input
        inputMode="decimal"
        autocomplete="off"
        placeholder={hours(short ? gate.hours * 60 : gate.hours)}
        value={typed.value[gate.kind] ?? ''}
        onInput={(event) => change(event.currentTarget.value)}
      />
    </label>
  );
}

/** What a label prints in minutes is typed in minutes. */
function inMinutes(gate: LabelGate): boolean {
  return gate.hours < SHORT_H;
}

function figure(gate: LabelGate): string {
  const short = inMinutes(gate);
  return `${hours(short ? gate.hours * 60 : gate.hours)} ${say(short ? 'bottle.unit.min' : 'bottle.unit.h')}`;
}

/** Only what was typed and is a number, in hours; the server refuses what no label can say. */
function valuesOf(
  typed: Record<string, string>,
  gates: readonly LabelGate[],
): Record<string, number> {
  const numbers = gates.map((gate) => {
    const value = decimal(typed[gate.kind] ?? '');
    return [gate.kind, inMinutes(gate) ? value / 60 : value] as const;
  });
  return Object.fromEntries(numbers.filter(([, value]) => Number.isFinite(value)));
}
