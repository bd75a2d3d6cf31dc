/** From nothing to the first running wait: one question at a time, nothing to type. */
import { signal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { nameOf, spreadSaid } from '../models/again';
import { library, libraryMissing, needLibrary } from '../models/library';
import { view } from '../models/shop';
import { newTags } from '../models/tags';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { Cautions } from '../parts/caution';
import { Tape } from '../parts/tape';
import { allowSound } from '../parts/voice';
import { temp } from '../units/temperature';
import { say, type Key } from '../words/say';

const STEPS = 4;
const PLACES: Key[] = ['setup.shed', 'setup.workshop', 'setup.garage', 'setup.cellar'];
const TEMPS_C = [4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26];
const COUNTS = [1, 2, 3, 4, 6, 8, 10, 12, 24];

const step = signal(1);
const made = signal({ place: '', label: '' });

export default function Setup() {
  const at = step.value;
  return (
    <main class="room" id="main">
      <p class="soft">{say('setup.step', { step: Math.min(at, STEPS), of: STEPS })}</p>
      {at === 1 && <Cautions keys={['limits']} container="setup" />}
      {at === 1 && <WherePlace />}
      {at === 2 && <HowWarm />}
      {at === 3 && <WhichGlue />}
      {at >= 4 && <HowMany />}
    </main>
  );
}

function WherePlace() {
  const choose = async (name: string) => {
    const place = newId();
    if (!(await tell('place_made', { place, name }))) return;
    made.value = { ...made.value, place };
    step.value = 2;
  };
  return (
    <Question title="setup.place" note="setup.place_note">
      {PLACES.map((key) => (
        <Tape key={key} verb={say(key)} onTap={() => choose(say(key))} />
      ))}
    </Question>
  );
}

function HowWarm() {
  const choose = async (temp_c: number) => {
    if (await tell('reading_taken', { place: made.value.place, temp_c })) step.value = 3;
  };
  return (
    <>
      <Question title="setup.temp" note="setup.temp_note">
        {TEMPS_C.map((temp_c) => (
          <Tape key={temp_c} verb={temp(temp_c, 0)} onTap={() => choose(temp_c)} />
        ))}
      </Question>
      <button type="button" class="quiet" onClick={() => (step.value = 3)}>
        {say('setup.unknown')}
      </button>
    </>
  );
}

function WhichGlue() {
  useEffect(() => void needLibrary(), []);
  const glues = (library.value?.families ?? []).filter((one) => one.role === 'adhesive');
  const choose = async (family: string, name: string) => {
    const label = newId();
    if (!(await tell('label_read', { material: newId(), label, name, family }))) return;
    made.value = { ...made.value, label };
    step.value = 4;
  };
  return (
    <Question title="setup.glue" note="setup.glue_note">
      {libraryMissing.value && <p role="alert">{say('setup.library_missing')}</p>}
      {glues.map((one) => (
        <Tape key={one.key} verb={one.name} onTap={() => choose(one.key, one.name)} />
      ))}
    </Question>
  );
}

function HowMany() {
  const { route } = useLocation();
  const material = view.value?.materials.find((one) => one.label.id === made.value.label);
  const begin = async (many: number) => {
    allowSound();
    const taken = new Set((view.value?.pieces ?? []).map((one) => one.tag));
    const pieces = newTags('A-', many, taken).map((tag) => ({ id: newId(), tag }));
    await tell('pieces_made', { pieces });
    const ids = new Set(pieces.map((one) => one.id));
    const chosen = (view.value?.pieces ?? []).filter((one) => ids.has(one.id));
    const said = spreadSaid({
      name: nameOf(chosen),
      label: made.value.label,
      place: made.value.place,
      pieces: chosen,
    });
    if (!(await tell('spread_began', said))) return;
    step.value = 1;
    route(`/glue/${String(said.glue_up)}`);
  };
  return (
    <>
      {material && <Cautions keys={material.label.cautions} container={material.label.id} />}
      <Question title="setup.pieces" note="setup.pieces_note">
        {COUNTS.map((many) => (
          <Tape
            key={many}
            verb={String(many)}
            note={say('tap.spread_began')}
            about={say('tap.spread_began')}
            onTap={() => begin(many)}
          />
        ))}
      </Question>
    </>
  );
}

function Question({
  title,
  note,
  children,
}: {
  title: Key;
  note: Key;
  children: preact.ComponentChildren;
}) {
  return (
    <section class="stack">
      <h1 class="verb">{say(title)}</h1>
      <p>{say(note)}</p>
      <div class="tiles tiles-wide">{children}</div>
    </section>
  );
}
