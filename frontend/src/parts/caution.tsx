/** What can hurt, said at the moment of the act and before the button. */
import { useState } from 'preact/hooks';
import { cautionKey, isRed, markRead, readToday } from '../models/cautions';
import { say, word } from '../words/say';
import { Sign } from './sign';

/** Each once per container and day in full; afterwards by its first line, and never less. */
export function Cautions({ keys, container }: { keys: readonly string[]; container: string }) {
  return (
    <>
      {keys.map((key) => (
        <Caution name={key} container={container} key={key} />
      ))}
    </>
  );
}

function Caution({ name, container }: { name: string; container: string }) {
  const [open, setOpen] = useState(false);
  const known = readToday(cautionKey(name, container));
  const text = word(`caution.${name}`);
  const first = text.slice(0, text.indexOf('.') + 1);
  const whole = open || !known;
  const toggle = () => {
    if (!known) markRead(cautionKey(name, container));
    setOpen(!whole);
  };
  return (
    <section class={isRed(name) ? 'caution caution-red' : 'caution'}>
      <Sign kind={isRed(name) ? 'stop' : 'heed'} />
      <div>
        <h2>{word(`caution.title.${name}`)}</h2>
        <p>{whole ? text : first}</p>
      </div>
      <button
        type="button"
        class="quiet"
        aria-label={`${whole ? say('caution.read') : say('caution.again')} – ${word(`caution.title.${name}`)}`}
        onClick={toggle}
      >
        {whole ? say('caution.read') : say('caution.again')}
      </button>
    </section>
  );
}
