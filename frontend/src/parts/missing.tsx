/** An address that leads to nothing, and a shed that nobody has heard of yet. */
import { ready, trouble } from '../models/shop';
import { say } from '../words/say';
import { Fold } from './fold';
import { SignIn } from './sign-in';

export function Missing() {
  return (
    <main class="room" id="main">
      <h1 class="unseen">{say('app.name')}</h1>
      <p>{say('app.lost')}</p>
      <a class="quiet" href="/now">
        {say('room.now')}
      </a>
    </main>
  );
}

export function NoWordYet() {
  if (trouble.value === 'not_paired') {
    return (
      <main class="room" id="main">
        <h1 class="verb">{say('pair.unsigned')}</h1>
        <p>{say('pair.how')}</p>
        <Fold title={say('signin.head')}>{() => <SignIn />}</Fold>
      </main>
    );
  }
  const asking = !ready.value || trouble.value === undefined;
  return (
    <main class="room" id="main">
      <h1 class="unseen">{say('app.name')}</h1>
      <p aria-live="polite">{say(asking ? 'app.asking' : 'state.never')}</p>
    </main>
  );
}
