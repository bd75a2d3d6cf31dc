import { expect, test } from 'vitest';
import { columnsOf, progress, unsaid, type Look, type LoggerFile } from '../src/models/logger';

const FILE: LoggerFile = {
  id: 'f',
  name: 'shed.csv',
  sensor: { id: 's', name: 'post' },
  size: 1000,
  byte: 0,
  row: 0,
  kept: 0,
  known: 0,
  refused: 0,
  faults: [],
  shape: null,
  done_at: null,
};
const LOOK: Look = {
  file: FILE,
  shape: {
    separator: ';',
    decimal: ',',
    first_row: 0,
    at: 0,
    temp: 1,
    order: 'dmy',
    zone: 'UTC',
    clock: null,
    rh: null,
    fahrenheit: false,
    repeated: '',
    newest_first: false,
    step_s: 900,
  },
  columns: [],
  why: {},
  asked: ['order', 'repeated'],
  lines: ['01.02.2026 10:00;12,5;60'],
  rows: 1,
  bad: 0,
  first: [],
  faults: [],
  first_at: null,
  last_at: null,
};

test('what only a person can tell stands until each of it was said', () => {
  expect(unsaid(LOOK, new Set())).toEqual(['order', 'repeated']);
  expect(unsaid(LOOK, new Set(['order']))).toEqual(['repeated']);
  expect(unsaid({ ...LOOK, asked: [] }, new Set())).toEqual([]);
});

test('columns without names are counted as they stand', () => {
  expect(columnsOf(LOOK, (at) => `column ${at}`)).toEqual(['column 1', 'column 2', 'column 3']);
  const named = { ...LOOK, columns: ['time', '', 'rh'] };
  expect(columnsOf(named, (at) => `column ${at}`)).toEqual(['time', 'column 2', 'rh']);
});

test('a file is never said to be in before it is', () => {
  expect(progress({ ...FILE, byte: 500 })).toBe(50);
  expect(progress({ ...FILE, byte: 1000 })).toBe(99);
  expect(progress({ ...FILE, done_at: '2026-02-05T10:00:00Z' })).toBe(100);
});
