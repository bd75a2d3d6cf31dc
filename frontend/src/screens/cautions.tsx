/** What can hurt: the full text of every caution. Read the label and the safety sheet first. */
import { CAUTIONS, isRed } from '../models/cautions';
import { Sign } from '../parts/sign';
import { say, word } from '../words/say';

export function CautionList() {
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.cautions')}</h1>
      {CAUTIONS.map((name) => (
        <section class={isRed(name) ? 'caution caution-red' : 'caution'} key={name}>
          <Sign kind={isRed(name) ? 'stop' : 'heed'} />
          <div>
            <h2>{word(`caution.title.${name}`)}</h2>
            <p>{word(`caution.${name}`)}</p>
          </div>
        </section>
      ))}
    </main>
  );
}
