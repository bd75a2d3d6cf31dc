/** What can hurt, said at the moment of the act and before the button. */
import { useState } from 'preact/hooks';
import { cautionKey, isRed, markRead, readToday } from '../models/cautions';
import { say, word } from '../words/say';
import { Sign } from './sign';

interface Props {
  keys: readonly string[];
  container: string;
}

/** In full once per container and day; afterwards by its first line, and never less. */
export function Cautions({ keys, container }: Props) {
  const [open, setOpen] = useState(false);
  if (!keys.length) return null;
  const fresh = keys.filter((key) => !readToday(cautionKey(key, container)));
  const whole = open || fresh.length > 0;
  const toggle = () => {
    for (const key of fresh) markRead(cautionKey(key, container));
    setOpen(!whole);
  };
  const button = say(whole ? 'caution.read' : 'caution.again');
  return (
    <section class={keys.some(isRed) ? 'cautions cautions-red' : 'cautions'}>
      {redFirst(keys).map((key) => (
        <Caution name={key} whole={open || fresh.includes(key)} key={key} />
      ))}
      {whole && <p class="soft">{say('caution.label_first')}</p>}
      <button
        type="button"
        class="quiet"
        aria-label={`${button} – ${keys.map((key) => word(`caution.title.${key}`)).join(', ')}`}
        onClick={toggle}
      >
        {button}
      </button>
    </section>
  );
}

function redFirst(keys: readonly string[]): string[] {
  return [...keys].sort((one, other) => Number(isRed(other)) - Number(isRed(one)));
}

export function Caution({ name, whole }: { name: string; whole: boolean }) {
  const text = word(`caution.${name}`);
  const ends = text.indexOf('.') + 1;
  return (
    <div class="caution">
      <Sign kind={isRed(name) ? 'stop' : 'heed'} />
      <div>
        <h2>{word(`caution.title.${name}`)}</h2>
        <p>{whole ? own(text) : text.slice(0, ends)}</p>
      </div>
    </div>
  );
}

/** Each ends by deferring to the label; of several that is said once, below them. */
function own(text: string): string {
  return text.replace(say('caution.label_first'), '').trim();
}
