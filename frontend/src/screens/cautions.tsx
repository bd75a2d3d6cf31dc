/** What can hurt: the full text of every caution. Read the label and the safety sheet first. */
import { CAUTIONS, isRed } from '../models/cautions';
import { Caution } from '../parts/caution';
import { say } from '../words/say';

export default function CautionList() {
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.cautions')}</h1>
      <p class="line-name">{say('caution.label_first')}</p>
      {CAUTIONS.map((name) => (
        <section class={isRed(name) ? 'cautions cautions-red' : 'cautions'} key={name}>
          <Caution name={name} whole />
        </section>
      ))}
    </main>
  );
}
