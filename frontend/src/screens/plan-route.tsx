/** Which steps does a batch take? Written once; the plan is made from it. */
import { useSignal, type Signal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { machinesKnown, pullKnown, routesKnown } from '../models/known';
import { emptyStep, gatesOf, nameTaken, routeSaid, type StepDraft } from '../models/route';
import { settings } from '../models/settings';
import { view } from '../models/shop';
import { tell } from '../models/tell';
import { Choose, type Choice } from '../parts/choose';
import { Field } from '../parts/field';
import { NameField } from '../parts/name-field';
import { Tape } from '../parts/tape';
import { Wrong } from '../parts/wrong';
import { newId } from '../sync/outbox';
import { length, toMm } from '../units/length';
import { count, say, word } from '../words/say';
import '../styles/plan.css';

export default function PlanRoute() {
  const { route } = useLocation();
  const batch = useSignal('');
  const pieces = useSignal(1);
  const steps = useSignal<StepDraft[]>([]);
  const last = useSignal('');
  useEffect(() => void pullKnown(), []);
  const batches = view.value?.batches ?? [];
  const chosen = batches.find((one) => one.id === batch.value);
  const go = async (ident: string) => {
    if (!chosen) return;
    const routed = { batch: chosen.id, count: pieces.value, route: ident };
    if (await tell('batch_routed', routed)) route('/plan');
  };
  const save = async () => {
    if (!chosen || steps.value.length === 0) return;
    const ident = newId();
    const said = routeSaid(ident, chosen.name, steps.value, last.value);
    if (await tell('route_told', said)) await go(ident);
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('plan.route')}</h1>
      <Choose
        legend={say('route.batch')}
        chosen={new Set([batch.value])}
        onChoose={(value) => {
          batch.value = value;
          const many = view.value?.pieces.filter((one) => one.batch === value).length ?? 0;
          pieces.value = Math.max(1, many);
        }}
        choices={batches.map((one) => ({ value: one.id, label: one.name }))}
      />
      <Figure label={say('route.pieces')} value={pieces} least={1} />
      {chosen && <AsBefore onChoose={(ident) => go(ident)} />}
      <ol class="plan-list">
        {steps.value.map((one) => (
          <li class="plan-line" key={one.key}>
            <time>{say('time.minutes', { minutes: one.hands_min })}</time>
            <span>
              <b>{one.key}</b>
              <span class="plan-why soft">{one.gate && word(`gate.${one.gate}.name`)}</span>
              {one.thickness_mm !== null && (
                <span class="plan-why soft">{length(one.thickness_mm)}</span>
              )}
            </span>
          </li>
        ))}
      </ol>
      <StepForm steps={steps} />
      <LastGate steps={steps.value} last={last} />
      {chosen && steps.value.length > 0 && (
        <Tape
          wide
          verb={say('route.keep')}
          note={count('route.steps', steps.value.length)}
          onTap={save}
        />
      )}
    </main>
  );
}

/** A route that was written for another batch. */
function AsBefore({ onChoose }: { onChoose: (ident: string) => void }) {
  if (routesKnown.value.length === 0) return null;
  return (
    <section class="stack">
      <h2 class="part-head">{say('route.as_before')}</h2>
      {routesKnown.value.map((one) => (
        <Tape key={one.id} verb={one.name} onTap={() => onChoose(one.id)} />
      ))}
    </section>
  );
}

function Figure({ label, value, least = 0 }: { label: string; value: Signal<number>; least?: number }) {
  return (
    <label class="field">
      <span>{label}</span>
      <input
        type="number"
        inputMode="numeric"
        min={least}
        value={value.value}
        onInput={(event) => (value.value = Number(event.currentTarget.value) || least)}
      />
    </label>
  );
}

/** What the lag of wood is worked out for. */
const [LEAST_MM, MOST_MM] = [0.5, 400];

const NONE: Choice = { value: '', label: '–' };

function materialOf(id: string | undefined) {
  return view.value?.materials.find((one) => one.id === id);
}

function StepForm({ steps }: { steps: Signal<StepDraft[]> }) {
  const key = useSignal('');
  const [hands, each, at_once, alone] = [useSignal(10), useSignal(0), useSignal(1), useSignal(0)];
  const [machine, place, material, gate] = [
    useSignal(''),
    useSignal(''),
    useSignal(''),
    useSignal(''),
  ];
  const [thickness, wrong] = [useSignal(''), useSignal('')];
  const shown = view.value;
  const glued = materialOf(material.value)?.role === 'adhesive';
  const offered = gatesOf(materialOf(steps.value.at(-1)?.material));
  const name = key.value.trim();
  const add = () => {
    if (!name || nameTaken(steps.value, name)) return;
    const mm = glued && thickness.value.trim() ? toMm(thickness.value) : null;
    const good = mm === null || (mm >= LEAST_MM && mm <= MOST_MM);
    wrong.value = good ? '' : thicknessBad();
    if (!good) return;
    const draft: StepDraft = {
      ...emptyStep(),
      key: name,
      hands_min: hands.value,
      each_min: each.value,
      at_once: at_once.value,
      machine: machine.value,
      alone_min: alone.value,
      place: place.value || (material.value ? (shown?.places[0]?.id ?? '') : ''),
      material: material.value,
      thickness_mm: mm,
      gate: gate.value,
    };
    steps.value = [...steps.value, draft];
    for (const typed of [key, machine, material, gate, thickness]) typed.value = '';
  };
  return (
    <section class="stack">
      <h2 class="part-head">{say('route.next_step')}</h2>
      {offered.length > 0 && (
        <Choose
          small
          legend={say('route.after')}
          chosen={new Set([gate.value])}
          onChoose={(value) => (gate.value = value)}
          choices={[
            { value: '', label: say('route.at_once_after') },
            ...offered.map((kind) => ({ value: kind, label: word(`gate.${kind}.name`) })),
          ]}
        />
      )}
      <NameField label="route.step" value={key} />
      <Figure label={say('route.hands')} value={hands} />
      <Figure label={say('route.each')} value={each} />
      <Figure label={say('route.at_once')} value={at_once} least={1} />
      <Choose
        small
        legend={say('route.material')}
        chosen={new Set([material.value])}
        onChoose={(value) => (material.value = value)}
        choices={[NONE, ...(shown?.materials ?? []).map((one) => ({ value: one.id, label: one.name }))]}
      />
      {glued && (
        <Field
          label={say('route.thickness', { unit: settings.value.length })}
          value={thickness}
          mode={settings.value.length === 'mm' ? 'decimal' : 'text'}
        />
      )}
      <Wrong says={wrong.value} />
      <Choose
        small
        legend={say('start.place')}
        chosen={new Set([place.value])}
        onChoose={(value) => (place.value = value)}
        choices={[NONE, ...(shown?.places ?? []).map((one) => ({ value: one.id, label: one.name }))]}
      />
      <MachineChoice machine={machine} />
      {machine.value && <Figure label={say('route.alone')} value={alone} />}
      <button type="button" class="quiet" disabled={!name} onClick={add}>
        {say('route.add')}
      </button>
    </section>
  );
}

function thicknessBad(): string {
  return say('route.thickness_bad', { least: length(LEAST_MM, 1), most: length(MOST_MM) });
}

/** A machine of the shop, or one that is named now. */
function MachineChoice({ machine }: { machine: Signal<string> }) {
  const name = useSignal('');
  const make = async () => {
    const ident = newId();
    const said = { machine: ident, name: name.value.trim() };
    if (said.name && (await tell('machine_told', said))) {
      machinesKnown.value = [...machinesKnown.value, { id: ident, name: said.name }];
      [machine.value, name.value] = [ident, ''];
    }
  };
  return (
    <>
      <Choose
        small
        legend={say('route.machine')}
        chosen={new Set([machine.value])}
        onChoose={(value) => (machine.value = value)}
        choices={[NONE, ...machinesKnown.value.map((one) => ({ value: one.id, label: one.name }))]}
      />
      <NameField label="route.new_machine" value={name} />
      {name.value.trim() && <Tape verb={say('route.own_it')} onTap={make} />}
    </>
  );
}

/** What has to be open before a piece counts: wrapped, cured. */
function LastGate({ steps, last }: { steps: readonly StepDraft[]; last: Signal<string> }) {
  const offered = gatesOf(materialOf(steps.at(-1)?.material));
  if (offered.length === 0) return null;
  return (
    <Choose
      small
      legend={say('route.until')}
      chosen={new Set([last.value])}
      onChoose={(value) => (last.value = value)}
      choices={[NONE, ...offered.map((kind) => ({ value: kind, label: word(`gate.${kind}.name`) }))]}
    />
  );
}
