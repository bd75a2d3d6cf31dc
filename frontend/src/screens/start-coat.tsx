/** What am I coating, is the air fit for it, which parts stay bare? */
import { computed, effect, signal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { nameOf } from '../models/again';
import { askCoat, coatDescribed, things, type CheckTold } from '../models/check';
import { wholes, zoneChoices, zonesNamed } from '../models/coats';
import { picked } from '../models/picked';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { Ago } from '../parts/ago';
import { Ahead } from '../parts/ahead';
import { AtHand, type Missing } from '../parts/at-hand';
import { Cautions } from '../parts/caution';
import { Check } from '../parts/check';
import { DescribeCoat } from '../parts/check-coat';
import { Choose, toggled } from '../parts/choose';
import { PickMaterial, PickPieces, PickPlace } from '../parts/pick';
import { Sign } from '../parts/sign';
import { count, say } from '../words/say';

const KINDS = ['wipe_off', 'dust_free', 'touch', 'recoat_opens', 'recoat_closes', 'handle'];
const ROLES = ['finish', 'stain', 'filler'];
const chosen = picked();
const left_out = signal<ReadonlySet<string>>(new Set());
const checked = signal<CheckTold | undefined>(undefined);

/** What was answered for other pieces, finish or place holds no more. */
const about = computed(() => JSON.stringify(question()));
effect(() => {
  void about.value;
  checked.value = undefined;
});

function question(): Record<string, unknown> {
  return {
    label: chosen.material.value?.label.id,
    place: chosen.place.value?.id,
    zones: zones(),
    ...coatDescribed(chosen.pieces.value.length),
  };
}

export function StartCoat() {
  const { route } = useLocation();
  const material = chosen.material.value;
  const place = chosen.place.value;
  const tap = async () => {
    const id = await begin();
    if (id) route(`/wait/${id}`);
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('start.coat')}</h1>
      <PickMaterial chosen={chosen} roles={ROLES} legend={say('start.finish')} />
      <PickPlace chosen={chosen.place_id} />
      <PickPieces chosen={chosen.piece_ids} />
      <Zones />
      {material && place && (
        <Ahead material={material} place={place} title={say('start.ahead_coat')} kinds={KINDS} />
      )}
      {material && <Cautions keys={material.label.cautions} container={material.label.id} />}
      <DescribeCoat />
      <Check told={checked} disabled={!!missing() || untold().length > 0} ask={() => askCoat(question())} />
      <Ago />
      <AtHand verb="tap.coat_began" missing={missing()} onTap={tap} />
    </main>
  );
}

/** Which parts get the coat; those kept bare are named before it goes on. */
function Zones() {
  const parts = zoneChoices(chosen.pieces.value);
  const names = parts.coated.map((one) => one.name);
  return (
    <>
      {parts.coated.length > 0 && (
        <Choose
          many
          legend={say('start.zones')}
          chosen={new Set(names.filter((name) => !left_out.value.has(name)))}
          onChoose={(name) => (left_out.value = toggled(left_out.value, name))}
          choices={parts.coated.map((one) => ({
            value: one.name,
            label: one.name,
            note: count('can.coats', one.coats),
          }))}
        />
      )}
      {parts.bare.length > 0 && (
        <div class="notice notice-heed">
          <Sign kind="stop" />
          <p>
            <b>
              {say('start.bare')}: {parts.bare.join(', ')}
            </b>{' '}
            {say('start.bare_note')}
          </p>
        </div>
      )}
    </>
  );
}

function zones(): string[] {
  return [
    ...zonesNamed(chosen.pieces.value, (name) => !left_out.value.has(name)),
    ...untold().map((part) => part.id),
  ];
}

/** Pieces of which nobody said what parts they have are coated as a whole. */
function untold() {
  return wholes(chosen.pieces.value, say('pieces.zone.all'));
}

function missing(): Missing {
  if (!chosen.material.value) return 'finish';
  if (!chosen.place.value) return 'place';
  return zones().length ? undefined : 'pieces';
}

/** Tells that the coat began; its id, if the phone could keep it. */
async function begin(): Promise<string | undefined> {
  const { material, place, pieces } = chosen;
  const parts = untold();
  const coated = zones();
  if (!material.value || !place.value || !coated.length) return undefined;
  if (parts.length && !(await tell('zones_made', { parts }))) return undefined;
  const coat = newId();
  const said = {
    coat,
    name: nameOf(pieces.value),
    label: material.value.label.id,
    place: place.value.id,
    zones: coated,
    ...(checked.value?.things.length && { things: things(checked.value) }),
  };
  if (!(await tell('coat_began', said))) return undefined;
  chosen.piece_ids.value = new Set();
  return coat;
}
