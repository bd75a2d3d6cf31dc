/** It was carried to another place: what is left to wait runs on that place's clock. */
import { view } from '../models/shop';
import { tell } from '../models/tell';
import type { Group } from '../models/view';
import { say } from '../words/say';
import { Tape } from './tape';

export function Move({ group }: { group: Group }) {
  const places = (view.value?.places ?? []).filter((one) => one.id !== group.place.id);
  if (!places.length || group.kind === 'hold') return null;
  const about = group.kind === 'coat' ? { coat: group.id } : { glue_up: group.id };
  return (
    <section class="stack">
      <h2 class="part-head">{say('wait.move')}</h2>
      <div class="pair">
        {places.map((place) => (
          <Tape
            key={place.id}
            verb={place.name}
            note={say('tap.move')}
            onTap={() => tell('moved_place', { place: place.id, ...about })}
          />
        ))}
      </div>
    </section>
  );
}
