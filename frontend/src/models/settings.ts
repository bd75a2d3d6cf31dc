/** What each person likes on this phone: theme, language, units. Kept on the phone alone. */
import { effect, signal, type Signal } from '@preact/signals';

export type Theme = 'auto' | 'light' | 'dark' | 'sun';

export interface Settings {
  theme: Theme;
  language: string;
  temperature: 'C' | 'F';
  length: 'mm' | 'in';
  weight: 'g' | 'oz';
  pressure: 'MPa' | 'psi';
  /** How the hour is told: as the phone does, or always by 24 or twice 12. */
  hours: 'auto' | '24' | '12';
  voice: boolean;
  /** Whether it says after ten hours that it is late. */
  late: boolean;
  /** An old tablet left open in the shed: kept awake, and it says what opens. */
  bell: boolean;
}

const KEY = 'cureclock.settings';
const USUAL: Settings = {
  theme: 'auto',
  language: '',
  temperature: 'C',
  length: 'mm',
  weight: 'g',
  pressure: 'MPa',
  hours: 'auto',
  voice: true,
  late: true,
  bell: false,
};

export const settings: Signal<Settings> = signal(read());

effect(() => {
  const text = JSON.stringify(settings.value);
  try {
    globalThis.localStorage?.setItem(KEY, text);
  } catch {
    // Full or forbidden: the setting holds until the page is closed.
  }
});

export function set<K extends keyof Settings>(name: K, value: Settings[K]): void {
  settings.value = { ...settings.value, [name]: value };
}

function read(): Settings {
  try {
    const told = JSON.parse(globalThis.localStorage?.getItem(KEY) ?? '{}') as Partial<Settings>;
    return { ...USUAL, ...told };
  } catch {
    return USUAL;
  }
}
