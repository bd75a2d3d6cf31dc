/** What the server says at an address: asked for when a screen opens, and again after each act. */
import { useSignal, type Signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { get } from '../sync/ask';
import { problemWords } from './wrong';

interface Asked<T> {
  told: Signal<T | undefined>;
  /** What is wrong, in words; of asking or of the last act. */
  wrong: Signal<string>;
  look: () => Promise<void>;
  /** Do something there, and look again; whether it went well. */
  act: (work: () => Promise<unknown>) => Promise<boolean>;
}

export function useTold<T>(path: string): Asked<T> {
  const told = useSignal<T | undefined>(undefined);
  const wrong = useSignal('');
  const look = async () => {
    try {
      told.value = await get<T>(path);
      wrong.value = '';
    } catch (cause) {
      wrong.value = problemWords(cause);
    }
  };
  const act = async (work: () => Promise<unknown>) => {
    try {
      await work();
    } catch (cause) {
      wrong.value = problemWords(cause);
      return false;
    }
    await look();
    return true;
  };
  useEffect(() => void look(), []);
  return { told, wrong, look, act };
}
