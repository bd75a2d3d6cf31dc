/** The three rooms that matter most, always in reach of a thumb. */
import { useLocation } from 'preact-iso';
import { say, type Key } from '../words/say';

const ROOMS: [string, Key][] = [
  ['/now', 'room.now'],
  ['/start', 'room.start'],
  ['/can', 'room.can'],
];

export function Nav() {
  const { path } = useLocation();
  const at = path === '/' ? '/now' : path;
  return (
    <nav class="nav" aria-label={say('app.rooms')}>
      {ROOMS.map(([href, key]) => (
        <a href={href} aria-current={at === href ? 'page' : undefined} key={href}>
          {say(key)}
        </a>
      ))}
    </nav>
  );
}
