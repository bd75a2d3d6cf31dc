/** What am I gluing, have I time, is it warm enough? Then one tap as the glue goes on. */
import { signal, useComputed, useSignal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { nameOf, spreadSaid } from '../models/again';
import { view } from '../models/shop';
import { tell } from '../models/tell';
import { Ago } from '../parts/ago';
import { Ahead } from '../parts/ahead';
import { Cautions } from '../parts/caution';
import { PickMaterial, PickPieces, PickPlace } from '../parts/pick';
import { Tape } from '../parts/tape';
import { say } from '../words/say';
import { allowSound } from '../parts/voice';

const KINDS = ['open_time', 'total_assembly', 'clamps_off', 'light', 'heavy'];
/** Kept while the maker goes off to number new pieces, and for the next time. */
const material_id = signal('');
const place_id = signal('');
const pieces = signal<ReadonlySet<string>>(new Set());

export function StartGlueUp() {
  const { route } = useLocation();
  const stressed = useSignal(false);
  const material = useComputed(() =>
    view.value?.materials.find((one) => one.id === material_id.value),
  );
  const place = useComputed(() => onlyOrChosen());
  const chosen = useComputed(() =>
    (view.value?.pieces ?? []).filter((one) => pieces.value.has(one.id)),
  );
  const missing = !material.value
    ? 'glue'
    : !place.value
      ? 'place'
      : chosen.value.length
        ? undefined
        : 'pieces';
  const tap = async () => {
    if (!material.value || !place.value || !chosen.value.length) return;
    allowSound();
    const said = spreadSaid({
      name: nameOf(chosen.value),
      label: material.value.label.id,
      place: place.value.id,
      pieces: chosen.value,
      stressed: stressed.value,
    });
    if (!(await tell('spread_began', said))) return;
    pieces.value = new Set();
    route(`/glue/${String(said.glue_up)}`);
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('start.glue_up')}</h1>
      <PickMaterial chosen={material_id} roles={['adhesive']} legend={say('start.glue')} />
      <PickPlace chosen={place_id} />
      <PickPieces chosen={pieces} />
      <label class="switch">
        <input
          type="checkbox"
          checked={stressed.value}
          onChange={() => (stressed.value = !stressed.value)}
        />
        <span>{say('start.stressed')}</span>
      </label>
      {material.value && place.value && (
        <Ahead
          material={material.value}
          place={place.value}
          title={say('start.ahead')}
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
        <Tape wide verb={say('tap.spread_began')} disabled={missing !== undefined} onTap={tap} />
      </div>
    </main>
  );
}

function onlyOrChosen() {
  const places = view.value?.places ?? [];
  const only = places.length === 1 ? places[0] : undefined;
  const found = places.find((one) => one.id === place_id.value) ?? only;
  return found;
}
