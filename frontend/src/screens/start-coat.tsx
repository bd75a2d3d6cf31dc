/** What am I coating, is the air fit for it, which parts stay bare? */
import { signal, useComputed } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { zoneChoices, zonesNamed } from '../models/coats';
import { nameOf } from '../models/again';
import { view } from '../models/shop';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { Ago } from '../parts/ago';
import { Ahead } from '../parts/ahead';
import { Cautions } from '../parts/caution';
import { Choose, toggled } from '../parts/choose';
import { PickMaterial, PickPieces, PickPlace } from '../parts/pick';
import { Sign } from '../parts/sign';
import { Tape } from '../parts/tape';
import { count, say } from '../words/say';

const KINDS = ['wipe_off', 'dust_free', 'touch', 'recoat_opens', 'recoat_closes', 'handle'];
const material_id = signal('');
const place_id = signal('');
const pieces = signal<ReadonlySet<string>>(new Set());
const left_out = signal<ReadonlySet<string>>(new Set());

export function StartCoat() {
  const { route } = useLocation();
  const material = useComputed(() =>
    view.value?.materials.find((one) => one.id === material_id.value),
  );
  const place = useComputed(() => {
    const places = view.value?.places ?? [];
    return (
      places.find((one) => one.id === place_id.value) ??
      (places.length === 1 ? places[0] : undefined)
    );
  });
  const chosen = useComputed(() =>
    (view.value?.pieces ?? []).filter((one) => pieces.value.has(one.id)),
  );
  const parts = zoneChoices(chosen.value);
  const zones = zonesNamed(chosen.value, (name) => !left_out.value.has(name));
  const missing = !material.value
    ? 'finish'
    : !place.value
      ? 'place'
      : zones.length
        ? undefined
        : 'pieces';
  const tap = async () => {
    if (!material.value || !place.value || !zones.length) return;
    const coat = newId();
    const said = {
      coat,
      name: nameOf(chosen.value),
      label: material.value.label.id,
      place: place.value.id,
      zones,
    };
    if (!(await tell('coat_began', said))) return;
    pieces.value = new Set();
    route(`/wait/${coat}`);
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('start.coat')}</h1>
      <PickMaterial
        chosen={material_id}
        roles={['finish', 'stain', 'filler']}
        legend={say('start.finish')}
      />
      <PickPlace chosen={place_id} />
      <PickPieces chosen={pieces} />
      {parts.coated.length > 0 && (
        <Choose
          many
          legend={say('start.zones')}
          chosen={
            new Set(parts.coated.map((one) => one.name).filter((name) => !left_out.value.has(name)))
          }
          onChoose={(name) => (left_out.value = toggled(left_out.value, name))}
          choices={parts.coated.map((one) => ({
            value: one.name,
            label: one.name,
            note: count('can.coats', one.coats),
          }))}
        />
      )}
      {parts.bare.length > 0 && <Bare names={parts.bare} />}
      {material.value && place.value && (
        <Ahead
          material={material.value}
          place={place.value}
          title={say('start.ahead_coat')}
          kinds={KINDS}
        />
      )}
      {material.value && (
        <Cautions keys={material.value.label.cautions} container={material.value.label.id} />
      )}
      <Ago />
      <div class="at-hand">
        {missing && (
          <p class="soft">{say('start.choose', { what: say(`start.choose.${missing}`) })}</p>
        )}
        <Tape wide verb={say('tap.coat_began')} disabled={missing !== undefined} onTap={tap} />
      </div>
    </main>
  );
}

export function Bare({ names }: { names: readonly string[] }) {
  return (
    <div class="notice notice-heed">
      <Sign kind="stop" />
      <p>
        <b>
          {say('start.bare')}: {names.join(', ')}
        </b>{' '}
        {say('start.bare_note')}
      </p>
    </div>
  );
}
