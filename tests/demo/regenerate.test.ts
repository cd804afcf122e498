import { readdirSync, statSync } from 'node:fs';
import { beforeAll, expect, test } from 'vitest';
import { makeAll } from '../../demo-data/lib/make-all.ts';
import { FOLDER, bytesOf } from './files.ts';

let made: Map<string, Uint8Array>;
beforeAll(() => {
  made = makeAll();
}, 120_000);

const committed = readdirSync(FOLDER, { withFileTypes: true })
  .filter((e) => e.isFile() && !e.name.endsWith('.ts'))
  .map((e) => e.name);

test('the folder holds exactly what the script makes', () => {
  expect(committed.sort()).toEqual([...made.keys()].sort());
});

test('every committed file is what the script makes now, byte for byte', () => {
  for (const [name, bytes] of made) expect(Buffer.compare(bytes, bytesOf(name)), name).toBe(0);
});

test('all files together stay under 15 MB', () => {
  const total = committed.reduce((sum, name) => sum + statSync(new URL(name, FOLDER)).size, 0);
  expect(total).toBeLessThan(15e6);
});

test('every text file says that it is invented', () => {
  for (const name of ['plan.json', 'traps.json', 'truth.json', 'candidates.csv'])
    expect(new TextDecoder().decode(bytesOf(name))).toMatch(/invented/i);
});
