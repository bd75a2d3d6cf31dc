/** An address that leads to nothing, or to nothing yet. */
import { ready, served } from '../models/shop';
import { say } from '../words/say';

export function Missing() {
  const text = !ready.value ? say('app.loading') : served.value ? say('app.lost') : say('state.never');
  return (
    <main class="room" id="main">
      <h1 class="unseen">{say('app.name')}</h1>
      <p>{text}</p>
      <a class="quiet" href="/now">
        {say('room.now')}
      </a>
    </main>
  );
}
