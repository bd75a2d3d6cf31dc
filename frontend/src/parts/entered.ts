/** A phone that has just been let in: what it is from now on, and what it forgets of another shop. */
import { useLocation } from 'preact-iso';
import { served } from '../models/shop';
import type { Thing } from '../models/view';
import { forgetAll } from '../store/kept';
import { speakAs } from '../sync/ask';
import { sync } from '../sync/beat';
import type { Key } from '../words/say';

export interface Paired {
  phone: Thing;
  person: Thing;
  role: string;
  workshop: Thing & { zone: string };
}

export function useEntered(): (paired: Paired) => Promise<void> {
  const { route } = useLocation();
  const before = served.value?.workshop;
  return async (paired) => {
    speakAs(paired.phone.id);
    if (before && before.id !== paired.workshop.id) await forgetAll();
    await sync();
    route(served.value?.places.length ? '/now' : '/setup', true);
  };
}

/** Nobody wants to type: the wider side of the screen tells well enough. */
export function kindOfPhone(): Key {
  const long = Math.max(screen.width, screen.height);
  if (navigator.maxTouchPoints === 0) return 'phone.name.computer';
  return long > 1000 ? 'phone.name.tablet' : 'phone.name.phone';
}
