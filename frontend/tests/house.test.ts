import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { build } from 'vite';
import { beforeAll, expect, test } from 'vitest';

const ROOT = new URL('..', import.meta.url).pathname;
const MOST_SCRIPT_KB = 90;
const MOST_STYLE_KB = 20;
let dist = '';

function files(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? files(path) : [path];
  });
}

const sources = files(join(ROOT, 'src')).filter((path) => /\.(tsx?|css)$/.test(path));
const read = (path: string) => readFileSync(path, 'utf8');

beforeAll(async () => {
  dist = mkdtempSync(join(tmpdir(), 'cureclock-size-'));
  await build({ root: ROOT, logLevel: 'error', build: { outDir: dist, emptyOutDir: true } });
}, 60_000);

function zipped_kb(ending: string): number {
  const found = files(dist).filter((path) => path.endsWith(ending));
  expect(found.length).toBeGreaterThan(0);
  return found.reduce((all, path) => all + gzipSync(readFileSync(path)).length, 0) / 1000;
}

test(`all script together is at most ${MOST_SCRIPT_KB} kB compressed`, () => {
  expect(zipped_kb('.js')).toBeLessThanOrEqual(MOST_SCRIPT_KB);
});

test(`all style together is at most ${MOST_STYLE_KB} kB compressed`, () => {
  expect(zipped_kb('.css')).toBeLessThanOrEqual(MOST_STYLE_KB);
});

test('nothing is written inline, and nothing is fetched from elsewhere', () => {
  const page = read(join(dist, 'index.html'));
  expect(page).not.toMatch(/<style|style=|<script(?![^>]*\ssrc=)/);
  const out = files(dist)
    .filter((path) => /\.(html|css|js)$/.test(path))
    .map(read)
    .join('');
  const addresses = [
    ...out.matchAll(/(?:src|href|url|import|fetch)\s*[=(]\s*["'`]?https?:\/\/[^"'`)]*/g),
  ];
  expect(addresses.map((one) => one[0])).toEqual([]);
});

test('only the store opens the phone’s database', () => {
  const opening = sources.filter((path) => /from 'idb'|indexedDB/.test(read(path)));
  expect(opening.map((path) => path.replace(ROOT, ''))).toEqual(['src/store/database.ts']);
});

test('models know nothing of the page', () => {
  const models = sources.filter((path) => path.includes('/src/models/'));
  const knowing = models.filter((path) =>
    /\b(document|window)\.|preact\/hooks|\.tsx/.test(read(path)),
  );
  expect(knowing).toEqual([]);
});

test('no file is longer than 400 lines', () => {
  const long = sources.filter((path) => read(path).split('\n').length > 400);
  expect(long).toEqual([]);
});

test('the palette and the type scale say themselves, without comments', () => {
  const tokens = read(join(ROOT, 'src/styles/tokens.css'));
  expect(tokens).not.toContain('/*');
  for (const theme of ['dark', 'sun']) expect(tokens).toContain(`[data-theme="${theme}"]`);
});
