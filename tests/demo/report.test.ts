/** The report on how well origin is told apart: what it must reach, and that README.md says what it says now. */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { figuresOf, onTheOtherHalf } from '../report/figures.ts';
import { PLOT, sectionIn } from '../report/markdown.ts';
import { report, type Report } from '../report/report.ts';

/** In words, so that it is found by whoever changes a weight or the demo. */
const TO_DO = 'run: node src/cli/ts.mjs tests/report/origin.ts --write';

let made: Report;
beforeAll(async () => {
  made = await report();
}, 120_000);

test('with all layers, at least nine in ten planted trees are not called natural', () => {
  const { judged, natural, rows } = made.demo;
  const figures = figuresOf(judged[0].origin, natural, rows);
  expect(figures.plantedKept).toBeGreaterThanOrEqual(0.9);
  // Nor is that reached by calling nothing natural.
  expect(figures.naturalFound).toBeGreaterThan(0.7);
});

test('weights fitted on one half of the trees predict the other half better than the built-in ones', () => {
  const { before, after } = onTheOtherHalf(made.demo);
  expect(after.brier).toBeLessThan(before.brier);
});

describe('README.md', () => {
  test('holds the report as it is now', () => {
    expect(sectionIn(readFileSync('README.md', 'utf8')), TO_DO).toBe(made.section);
  });
  test('shows the plot as it is now', () => {
    expect(made.section).toContain(PLOT);
    expect(readFileSync(PLOT, 'utf8'), TO_DO).toBe(made.plot);
  });
});

describe('the figures', () => {
  test('count every tree once, and are those that can be counted by hand', () => {
    const { judged, natural, rows } = made.demo;
    const origin = judged[0].origin;
    const figures = figuresOf(origin, natural, rows);
    const all = [...figures.judged, ...figures.decided].flat().reduce((a, b) => a + b, 0);
    expect(all).toBe(rows.length);
    const planted = rows.filter((i) => !natural[i]);
    // Index 0 is "likely natural".
    const kept = planted.filter((i) => origin.verdict[i] !== 0).length / planted.length;
    expect(figures.plantedKept).toBeCloseTo(kept, 12);
    expect(figures.reliability.reduce((n, b) => n + b.n, 0)).toBe(
      rows.filter((i) => origin.decided[i] === 0).length,
    );
  });

  test('of a record that repeats another are left out', () => {
    const { candidates, rows } = made.demo;
    expect(rows.length).toBe(candidates.n - 2);
    expect(new Set(rows.map((i) => candidates.id[i])).size).toBe(rows.length);
  });

  test('change where something is taken away', () => {
    const { judged, natural, rows } = made.demo;
    const text = judged.map(({ origin }) => JSON.stringify(figuresOf(origin, natural, rows)));
    expect(new Set(text).size).toBe(judged.length);
  });
});
