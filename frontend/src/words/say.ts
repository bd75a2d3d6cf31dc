/** Every string a person can meet comes through here, so that another language can be added. */
import { computed, signal } from '@preact/signals';
import en from './en';

export type Key = Extract<keyof typeof en, string>;
export type Catalogue = Readonly<Record<Key, string>>;
export type Fields = Readonly<Record<string, string | number>>;

/** Languages the app can speak, each fetched when it is chosen; English is always there. */
export const LANGUAGES: Record<string, { name: string; load: () => Promise<Catalogue> }> = {
  en: { name: 'English', load: async () => en },
};

const catalogue = signal<Catalogue>(en);
export const language = signal('en');
const plurals = computed(() => new Intl.PluralRules(language.value));

/** Speak it where the app can, else English; which one it became. */
export async function speak(wanted: string): Promise<string> {
  const found = LANGUAGES[wanted] ? wanted : 'en';
  catalogue.value = await LANGUAGES[found]!.load();
  language.value = found;
  return found;
}

export function say(key: Key, fields: Fields = {}): string {
  return fill(catalogue.value[key] ?? en[key], fields);
}

/** One message in its plural form: key.one, key.other and what else the language has. */
export function count(key: string, many: number, fields: Fields = {}): string {
  const form = `${key}.${plurals.value.select(many)}`;
  const chosen = isKey(form) ? form : (`${key}.other` as Key);
  return say(chosen, { count: many, ...fields });
}

/** A word the server names by a key; what this app has never heard of is shown as it came. */
export function word(key: string, fields: Fields = {}, otherwise = key.split('.').at(-1)!): string {
  return isKey(key) ? say(key, fields) : otherwise.replaceAll('_', ' ');
}

/** The verb of a line: a gate's own act, or one of the few that are no gates. */
export function actWord(act: string): string {
  return isKey(`act.${act}`) ? say(`act.${act}` as Key) : word(`gate.${act}.act`);
}

export function isKey(key: string): key is Key {
  return Object.hasOwn(en, key);
}

function fill(text: string, fields: Fields): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) =>
    name in fields ? String(fields[name]) : whole,
  );
}
