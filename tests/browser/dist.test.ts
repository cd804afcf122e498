/** What is built: no browser is needed to see it. */
import { existsSync, readdirSync } from 'node:fs';
import { expect, test } from 'vitest';

test("the demo's files travel with the app, but not its script, its truth and its traps", () => {
  const files = readdirSync('dist/demo-data');
  expect(files.filter((f) => !/\.(tif|fgb|csv)$/.test(f))).toEqual(['plan.json']);
  expect(existsSync('demo-data/truth.json') && existsSync('demo-data/traps.json')).toBe(true);
});
