/** "Number moved?" – asked once, right after the tap that may have taken it off. */
import { handed, WHERE } from '../models/numbers';
import { shortTags } from '../models/tags';
import { tell } from '../models/tell';
import { say } from '../words/say';

export function NumberAsked() {
  const asked = handed.value;
  if (!asked) return null;
  const pieces = asked.pieces.map((one) => one.id);
  return (
    <details class="asked">
      <summary class="quiet">
        {say('numbers.title')}
        <span class="soft">
          {shortTags(asked.pieces.map((one) => one.tag))}, {say(`numbers.${asked.moment}`)}
        </span>
      </summary>
      <div class="tiles tiles-wide">
        {WHERE.map((where) => (
          <button
            key={where}
            type="button"
            class="quiet"
            onClick={() => tell('number_moved', { pieces, where }, 0)}
          >
            {say(`numbers.where.${where}`)}
          </button>
        ))}
        <button type="button" class="quiet" onClick={() => (handed.value = undefined)}>
          {say('numbers.later')}
        </button>
      </div>
    </details>
  );
}
