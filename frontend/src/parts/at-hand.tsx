/** The one button of a start, kept at hand below; what is still missing is said above it. */
import { say, type Key } from '../words/say';
import { Tape } from './tape';

export type Missing = 'glue' | 'finish' | 'place' | 'pieces' | 'what' | undefined;

interface Props {
  verb: Key;
  missing: Missing;
  onTap: () => Promise<void>;
}

export function AtHand({ verb, missing, onTap }: Props) {
  return (
    <div class="at-hand">
      {missing && (
        <p class="soft">{say('start.choose', { what: say(`start.choose.${missing}`) })}</p>
      )}
      <Tape wide verb={say(verb)} disabled={missing !== undefined} onTap={onTap} />
    </div>
  );
}
