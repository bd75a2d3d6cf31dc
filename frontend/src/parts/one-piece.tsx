/** One piece of a group goes its own way: carried to another place, or lost. Two touches. */
import { useState } from 'preact/hooks';
import { view } from '../models/shop';
import { tell } from '../models/tell';
import type { Group } from '../models/view';
import { say } from '../words/say';
import { Choose } from './choose';
import { Tape } from './tape';

export function OnePieceOut({ group }: { group: Group }) {
  const [piece, setPiece] = useState('');
  if (group.pieces.length < 2) return null;
  const tag = group.pieces.find((one) => one.id === piece)?.tag ?? '';
  const places = (view.value?.places ?? []).filter((one) => one.id !== group.place.id);
  const say_it = async (verb: string, said: Record<string, unknown>) => {
    if (await tell(verb, said)) setPiece('');
  };
  return (
    <details>
      <summary class="quiet">{say('wait.one_piece')}</summary>
      <div class="stack unfolded">
        <Choose
          small
          legend={say('wait.one_piece_note')}
          chosen={new Set([piece])}
          onChoose={setPiece}
          choices={group.pieces.map((one) => ({ value: one.id, label: one.tag }))}
        />
        {piece && (
          <div class="pair">
            {places.map((place) => (
              <Tape
                key={place.id}
                verb={place.name}
                note={say('tap.move')}
                about={tag}
                onTap={() => say_it('moved_place', { place: place.id, piece })}
              />
            ))}
            <Tape
              verb={say('wait.lost')}
              about={tag}
              onTap={() => say_it('piece_lost', { piece })}
            />
          </div>
        )}
      </div>
    </details>
  );
}
