import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, test, vi } from 'vitest';
import en from '../src/words/en';
import looking from '../src/words/en/looking';
import rooms from '../src/words/en/rooms';
import start from '../src/words/en/start';
import { count, LANGUAGES, say, speak, word, type Catalogue } from '../src/words/say';
import { clock, instantOf, rounded, span, when, zone } from '../src/words/times';
import { settings } from '../src/models/settings';
import { temp, toCelsius } from '../src/units/temperature';

const SOURCE = new URL('../src', import.meta.url).pathname;

function files(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? files(path) : [path];
  });
}

const sources = files(SOURCE).filter(
  (path) => /\.tsx?$/.test(path) && !path.includes('/words/en/'),
);
const code = sources.map((path) => readFileSync(path, 'utf8')).join('\n');

afterEach(async () => {
  delete LANGUAGES.xx;
  await speak('en');
  settings.value = { ...settings.value, temperature: 'C' };
  zone.value = 'UTC';
  vi.unstubAllGlobals();
});

test('every string of the catalogue is said somewhere', () => {
  const heads = [...code.matchAll(/[`'"]([\w.]+\.)\$\{/g)].map((match) => match[1]!);
  const counted = [...code.matchAll(/count\('([\w.]+)'/g)].map((match) => match[1]!);
  const said = (key: string) =>
    code.includes(`'${key}'`) ||
    code.includes(`"${key}"`) ||
    heads.some((head) => key.startsWith(head)) ||
    counted.some((head) => key.startsWith(`${head}.`)) ||
    /^room\.\w+\.asks$/.test(key);
  const unsaid = Object.keys({ ...rooms, ...start, ...looking }).filter((key) => !said(key));
  expect(unsaid).toEqual([]);
});

test('no screen or part says anything that is not in the catalogue', () => {
  const loose = sources
    .filter((path) => path.endsWith('.tsx'))
    .flatMap((path) =>
      [
        ...readFileSync(path, 'utf8').matchAll(
          /^\s+[A-Z][a-z]+ [a-z ]+$|>[A-Za-z]{3,}[^<>{}=;()]*</gm,
        ),
      ].map((m) => m[0]),
    );
  expect(loose).toEqual([]);
});

test('another language can be added, and its own plural forms are used', async () => {
  const other = Object.fromEntries(Object.keys(en).map((key) => [key, `<${key}>`])) as Catalogue;
  LANGUAGES.xx = { name: 'Test', load: async () => other };
  expect(await speak('xx')).toBe('xx');
  expect(say('room.now')).toBe('<room.now>');
  expect(count('state.kept', 1)).toMatch(/^<state\.kept\.(one|other)>$/);
});

test('a language nobody has written is English', async () => {
  expect(await speak('qq')).toBe('en');
  expect(say('room.now')).toBe('Now');
});

test('plural forms follow the count', () => {
  expect(count('state.kept', 1)).toBe('1 kept on this phone');
  expect(count('state.kept', 3)).toBe('3 kept on this phone');
});

test('a key this app has never heard of is shown as a plain word', () => {
  expect(word('gate.sing_to_it.name', {}, 'sing_to_it')).toBe('sing to it');
});

test('what opens is never shown too early, what closes never too late', () => {
  expect(rounded('2026-02-05T10:00:01Z', 'up').toISOString()).toBe('2026-02-05T10:01:00.000Z');
  expect(rounded('2026-02-05T10:00:59Z', 'down').toISOString()).toBe('2026-02-05T10:00:00.000Z');
  expect(rounded('2026-02-05T10:00:00Z', 'up').toISOString()).toBe('2026-02-05T10:00:00.000Z');
});

test('times are the shop’s own, with the day where it is not today', () => {
  zone.value = 'Europe/Paris';
  const now = Date.parse('2026-02-05T22:30:00Z');
  expect(clock('2026-02-05T22:00:00Z')).toMatch(/23:00|11:00/);
  expect(when('2026-02-05T23:10:00Z', now)).toMatch(/^Fri /);
  expect(when('2026-02-19T12:00:00Z', now)).toMatch(/19/);
});

test.each([
  [59_000, '1 min'],
  [25 * 60_000, '25 min'],
  [160 * 60_000, '2 h 40'],
  [76 * 3_600_000, '3 d 4 h'],
])('a span of %i ms is said as %s', (ms, text) => {
  expect(span(ms)).toBe(text);
});

test('degrees Fahrenheit are shown and taken, and Celsius kept', () => {
  settings.value = { ...settings.value, temperature: 'F' };
  expect(temp(20, 0)).toBe('68 °F');
  expect(toCelsius(50)).toBe(10);
});

test('what is typed is the time of the shop, wherever the phone is, summer and winter', () => {
  const of = (typed: string) => {
    const at = instantOf(typed);
    return at === undefined ? undefined : new Date(at).toISOString();
  };
  zone.value = 'America/New_York';
  expect(of('2026-02-14T17:00')).toBe('2026-02-14T22:00:00.000Z');
  expect(of('2026-07-14T17:00')).toBe('2026-07-14T21:00:00.000Z');
  expect(of('2026-03-08T03:30')).toBe('2026-03-08T07:30:00.000Z'); // clocks went on at two
  expect(of('2026-11-01T03:30')).toBe('2026-11-01T08:30:00.000Z'); // and back again
  expect(of('')).toBeUndefined();
});
