/** What is starting? The same as last time, or one of three. */
import { LinkRow } from '../parts/link-row';
import { Again } from '../parts/now-extras';
import { Ago } from '../parts/ago';
import { Late } from '../parts/late';
import { say } from '../words/say';

export function Start() {
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('start.what')}</h1>
      <Late />
      <div class="rows">
        <LinkRow
          href="/start/glue-up"
          title={say('start.glue_up')}
          note={say('start.glue_up.asks')}
        />
        <LinkRow href="/start/coat" title={say('start.coat')} note={say('start.coat.asks')} />
        <LinkRow href="/start/hold" title={say('start.hold')} note={say('start.hold.asks')} />
      </div>
      <Again />
      <Ago />
    </main>
  );
}
