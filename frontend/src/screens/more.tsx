/** The other rooms, each with the question it answers. */
import { LinkRow } from '../parts/link-row';
import { say, type Key } from '../words/say';

const ROOMS = [
  'plan',
  'tonight',
  'clamps',
  'air',
  'pieces',
  'who',
  'store',
  'bottles',
  'back',
  'cautions',
  'ring',
  'phone',
  'settings',
] as const;

export function More() {
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.more')}</h1>
      <nav class="rows" aria-label={say('room.more')}>
        {ROOMS.map((room) => (
          <LinkRow
            key={room}
            href={`/${room}`}
            title={say(`room.${room}`)}
            note={say(`room.${room}.asks` as Key)}
          />
        ))}
      </nav>
      <p class="soft">{say('app.limits')}</p>
    </main>
  );
}
