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
const MOST_KEPT_KB = 150;
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

function zipped_kb(paths: readonly string[]): number {
  expect(paths.length).toBeGreaterThan(0);
  return paths.reduce((all, path) => all + gzipSync(readFileSync(path)).length, 0) / 1000;
}

/** What the page itself asks for before it shows anything; other screens are fetched as they open. */
function firstLoad(ending: string): string[] {
  const asked = [...read(join(dist, 'index.html')).matchAll(/(?:src|href)="\/(assets\/[^"]+)"/g)];
  const found = asked.map((one) => join(dist, one[1]!)).filter((path) => path.endsWith(ending));
  const more = found.flatMap((path) =>
    [...read(path).matchAll(/(?:from|import)\s*["']\.\/([^"']+)["']/g)].map((one) =>
      join(dist, 'assets', one[1]!),
    ),
  );
  return [...new Set([...found, ...more])];
}

test(`the first load has at most ${MOST_SCRIPT_KB} kB of script compressed`, () => {
  expect(zipped_kb(firstLoad('.js'))).toBeLessThanOrEqual(MOST_SCRIPT_KB);
});

test(`the first load has at most ${MOST_STYLE_KB} kB of style compressed`, () => {
  expect(zipped_kb(firstLoad('.css'))).toBeLessThanOrEqual(MOST_STYLE_KB);
});

test(`all that a phone keeps of the app is at most ${MOST_KEPT_KB} kB compressed`, () => {
  expect(zipped_kb(files(dist).filter((path) => /\.(js|css)$/.test(path)))).toBeLessThanOrEqual(
    MOST_KEPT_KB,
  );
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
