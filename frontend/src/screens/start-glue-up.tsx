/** What am I gluing, have I time, is it warm enough? Then one tap as the glue goes on. */
import { computed, effect, signal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { nameOf } from '../models/again';
import { tellSpread } from '../models/carried';
import { askGlueUp, described, things, wood, type CheckTold } from '../models/check';
import { picked } from '../models/picked';
import { tell } from '../models/tell';
import type { Said } from '../store/tap';
import { Ago } from '../parts/ago';
import { Ahead } from '../parts/ahead';
import { AtHand, type Missing } from '../parts/at-hand';
import { Cautions } from '../parts/caution';
import { Check, Describe } from '../parts/check';
import { DescribeWood } from '../parts/check-wood';
import { hasPot, mixedAgo, NOT_SAID, WhenMixed } from '../parts/mixed';
import { PickMaterial, PickPieces, PickPlace } from '../parts/pick';
import { allowSound } from '../parts/voice';
import { say } from '../words/say';

const KINDS = ['open_time', 'total_assembly', 'clamps_off', 'light', 'heavy'];
const chosen = picked();
const stressed = signal(false);
const mixed = signal(NOT_SAID);
const checked = signal<CheckTold | undefined>(undefined);

/** What was answered for other pieces, glue or place holds no more. */
const about = computed(() => JSON.stringify(question()));
effect(() => {
  void about.value;
  checked.value = undefined;
});

function question(): Record<string, unknown> {
  return {
    label: chosen.material.value?.label.id,
    place: chosen.place.value?.id,
    pieces: chosen.pieces.value.map((one) => one.id),
    stressed: stressed.value,
    ...described(),
  };
}

export function StartGlueUp() {
  const { route } = useLocation();
  const material = chosen.material.value;
  const place = chosen.place.value;
  const tap = async () => {
    const id = await spread();
    if (id) route(`/glue/${id}`);
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('start.glue_up')}</h1>
      <PickMaterial chosen={chosen} roles={['adhesive']} legend={say('start.glue')} />
      {hasPot(material) && <WhenMixed mixed={mixed} />}
      <PickPlace chosen={chosen.place_id} />
      <PickPieces chosen={chosen.piece_ids} />
      <label class="switch">
        <input
          type="checkbox"
          checked={stressed.value}
          onChange={() => (stressed.value = !stressed.value)}
        />
        <span>{say('start.stressed')}</span>
      </label>
      {material && place && (
        <Ahead material={material} place={place} title={say('start.ahead')} kinds={KINDS} />
      )}
      {material && <Cautions keys={material.label.cautions} container={material.label.id} />}
      <Describe />
      <DescribeWood />
      <Check told={checked} disabled={!!missing()} ask={() => askGlueUp(question())} />
      <Ago />
      <AtHand verb="tap.spread_began" missing={missing()} onTap={tap} />
    </main>
  );
}

function missing(): Missing {
  if (!chosen.material.value) return 'glue';
  if (!chosen.place.value) return 'place';
  return chosen.pieces.value.length ? undefined : 'pieces';
}

function mixing(glue_up: string): Said {
  const { mix_g } = wood.value;
  return { glue_up, ...(mix_g && { mass_g: mix_g }) };
}

/** Tells that spreading began; the id of the glue-up, if the phone could keep it. */
async function spread(): Promise<string | undefined> {
  const { material, place, pieces } = chosen;
  if (!material.value || !place.value || !pieces.value.length) return undefined;
  allowSound();
  const id = await tellSpread({
    name: nameOf(pieces.value),
    label: material.value.label.id,
    place: place.value.id,
    pieces: pieces.value,
    stressed: stressed.value,
    things: things(checked.value),
    ...(wood.value.thickness_mm && { thickness_mm: wood.value.thickness_mm }),
  });
  if (!id) return undefined;
  const min_ago = hasPot(material.value) ? mixedAgo(mixed.value) : undefined;
  if (min_ago !== undefined) await tell('mixed', mixing(id), min_ago);
  mixed.value = NOT_SAID;
  chosen.piece_ids.value = new Set();
  stressed.value = false;
  return id;
}
