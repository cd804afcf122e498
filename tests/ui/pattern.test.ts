/** How its trees stand: the sentences, and the shapes of the plots. */
import { describe, expect, test } from 'vitest';
import {
  bandPath,
  bearings,
  neighbourPath,
  planFrame,
  roseWedges,
  scaleBar,
  stepPath,
  windowPath,
} from '../../src/ui/vetting-sheet/patternPlots.ts';
import {
  chance,
  diameterWords,
  meaning,
  nearestWords,
  noGroup,
  rowWords,
  tooFew,
  verdictWords,
  windowWords,
} from '../../src/ui/vetting-sheet/patternWords.ts';
import { block } from './patternView.ts';

const grid = block(6, 4, 5);
const rows = (order: 2 | 4 | 6, p: number) => ({
  order,
  strength: 0.4,
  strengths: [0.4, 0.1, 0.1] as const,
  p,
});

describe('words', () => {
  test('regular is said by what stands out: rows, a grid, or even distances alone', () => {
    expect(verdictWords(grid)).toBe('regular: a square grid');
    expect(verdictWords({ ...grid, rows: rows(2, 0.001) })).toBe('regular: rows');
    expect(verdictWords({ ...grid, rows: rows(6, 0.001) })).toBe('regular: a triangular grid');
    expect(verdictWords({ ...grid, rows: rows(6, 0.3) })).toBe('regular: evenly spaced');
    expect(verdictWords({ ...grid, windowFrom: 'line' })).toBe('regular: evenly spaced along a line');
    expect(verdictWords({ ...grid, verdict: 'random', windowFrom: 'line' })).toBe(
      'along a line, random there',
    );
    expect(verdictWords({ ...grid, verdict: 'clustered' })).toBe('clustered');
  });

  test('no verdict claims to know who planted: it looks so, or nothing speaks for it', () => {
    for (const verdict of ['regular', 'random', 'clustered', 'too few'] as const)
      for (const windowFrom of ['given', 'hull', 'line'] as const) {
        const text = meaning({ ...grid, verdict, windowFrom });
        expect(text).not.toMatch(/\b(?:is|are|was|were) planted\b|certain|proves?\b/i);
        expect(text.startsWith('Looks planted')).toBe(verdict === 'regular');
      }
  });

  test('the row test in plain words, with strength and p', () => {
    expect(rowWords(grid)).toBe('Directions repeat every 90°: a square grid (strength 0.98 of 1, p 0.001).');
    expect(rowWords({ ...grid, rows: rows(2, 0.004) })).toBe(
      'Directions repeat every 180°: rows (strength 0.40 of 1, p 0.004).',
    );
    expect(rowWords({ ...grid, rows: rows(6, 0.44) })).toBe(
      'Directions to the nearest trees keep to no rows or grid (at most every 60°: strength 0.40 of 1, p 0.440).',
    );
    expect(rowWords({ ...grid, windowFrom: 'line', rows: rows(2, 0.2) })).toBe(
      'They stand along one line, so the directions are the line’s. Its gaps are no more even than chance may leave them (p 0.200).',
    );
    expect(rowWords({ ...grid, rows: null })).toBe('');
  });

  test('distances in the user’s units, against chance', () => {
    expect(nearestWords(grid, 'metric')).toBe(
      'The nearest tree is 5 m away on average; by chance it would be 3 m. R 2.00: farther apart than by chance (1 random, under 1 clustered, 2 a square grid).',
    );
    expect(nearestWords(grid, 'us')).toMatch(
      /^The nearest tree is 16 ft away on average; by chance .* 8 ft\./,
    );
    const plain = { ...grid.plain, R: 0.7 };
    expect(nearestWords({ ...grid, plain }, 'metric')).toContain(
      'R 0.70: nearer to one another than by chance',
    );
    expect(nearestWords({ ...grid, plain: { ...plain, R: 1.02 } }, 'metric')).toContain(
      'R 1.02: as by chance',
    );
  });

  test('where the ground comes from', () => {
    expect(windowWords(grid, 'metric')).toMatch(
      /^Trees of its species, each within 60 m of another\. Ground: drawn about/,
    );
    expect(windowWords(grid, 'us')).toContain('each within 197 ft of another');
    expect(windowWords({ ...grid, stand: 'Easel Ridge 1', windowFrom: 'given' }, 'metric')).toBe(
      'The trees of Easel Ridge 1. Ground: the outline of the stand.',
    );
  });

  test('diameters: how many, mean and spread; none on record', () => {
    expect(diameterWords(grid, 'metric')).toBe(
      'Diameters of all 24: mean 24 cm, coefficient of variation 9 %.',
    );
    expect(diameterWords({ n: 24, diameters: { known: 1, mean: 30, spread: NaN } }, 'us')).toBe(
      'Diameters of 1 of 24: mean 11.8 in.',
    );
    expect(diameterWords({ n: 8, diameters: { known: 0, mean: NaN, spread: NaN } }, 'us')).toBe(
      'No diameter is on record.',
    );
  });

  test('too few trees, or none beside it: one sentence that says why', () => {
    expect(tooFew(6, 'Easel Ridge 1')).toBe(
      '6 trees of its species are on record in Easel Ridge 1: too few to tell how they stand (7 are needed).',
    );
    expect(tooFew(8, '')).toBe(
      'The 8 trees of its species on record near one another here stand at too few different places to tell how.',
    );
    expect(noGroup(false, NaN, 'us')).toMatch(/^No other tree of its species is on record near it/);
    expect(noGroup(false, 10, 'us')).toMatch(/^No other tree/);
    expect(noGroup(false, 500, 'metric')).toMatch(/^Its position is good to 500 m only/);
    expect(noGroup(true, 120, 'us')).toMatch(/^It is a stand/);
  });

  test('a chance is never a zero', () => {
    expect([1e-9, 0.0004, 0.001, 0.25, NaN].map(chance)).toEqual([
      'under 0.001',
      'under 0.001',
      '0.001',
      '0.250',
      '—',
    ]);
  });
});

describe('plan', () => {
  const frame = planFrame(grid, 344, 300, 10);
  test('all of trees and window lie inside, north is up, both axes have one scale', () => {
    for (const [e, n] of grid.window.polygons.flat(2)) {
      expect(frame.x(e)).toBeGreaterThanOrEqual(10 - 1e-9);
      expect(frame.x(e)).toBeLessThanOrEqual(334 + 1e-9);
      expect(frame.y(n)).toBeGreaterThanOrEqual(10 - 1e-9);
      expect(frame.y(n)).toBeLessThanOrEqual(frame.height - 10 + 1e-9);
    }
    expect(frame.y(1)).toBeLessThan(frame.y(0));
    expect(frame.x(1) - frame.x(0)).toBeCloseTo(frame.y(0) - frame.y(1), 9);
  });
  test('a tall group keeps within the height', () => {
    expect(planFrame(block(2, 30, 5), 344, 300, 10).height).toBeLessThanOrEqual(300 + 1e-9);
  });
  test('trees along one line still have a frame', () => {
    const line = {
      ...block(8, 1, 5),
      y: new Float64Array(8),
      window: { polygons: [], area: 0, perimeter: 0 },
    };
    const f = planFrame(line, 344, 300, 10);
    expect([f.x(-17.5), f.x(17.5), f.height].map((v) => Math.round(v))).toEqual([10, 334, 20]);
  });
  test('the scale bar is a round length and at most a third of the width', () => {
    for (const scale of [0.013, 0.5, 3, 7.7, 40, 812]) {
      const { length, pixels } = scaleBar(scale, 344);
      expect(pixels).toBeLessThanOrEqual(344 / 3 + 1e-9);
      expect(pixels).toBeGreaterThan(344 / 3 / 5.1);
      expect(String(length / 10 ** Math.floor(Math.log10(length) + 1e-9))[0]).toMatch(/[125]/);
    }
  });
  test('two lines a tree, and one ring of the window', () => {
    expect(neighbourPath(grid, frame).match(/M/g)).toHaveLength(48);
    expect(windowPath(grid, frame)).toMatch(/^M[^M]+Z$/);
    const alone = { x: Float64Array.of(0), y: Float64Array.of(0), neighbours: Int32Array.of(-1, -1) };
    expect(neighbourPath(alone, frame)).toBe('');
  });
});

describe('rose', () => {
  test('a petal for each bar, to both sides; the largest reaches the ring, areas go with numbers', () => {
    const petals = roseWedges([4, 1, 0, 0], 50);
    expect(petals).toHaveLength(4);
    expect(petals[0]).toContain('L50.0 ');
    expect(petals[0]).toContain('L-50.0 ');
    expect(petals[1]).toContain('A25.0 25.0');
  });
  test('bearings: the first bar from east counter-clockwise is the one before 90°', () => {
    expect(bearings([7, 0, 0, 0, 0, 2])).toEqual([
      { from: 0, to: 30, count: 0 },
      { from: 30, to: 60, count: 0 },
      { from: 60, to: 90, count: 7 },
      { from: 90, to: 120, count: 2 },
      { from: 120, to: 150, count: 0 },
      { from: 150, to: 180, count: 0 },
    ]);
    const rose = Array.from({ length: 18 }, (_, i) => i);
    expect(bearings(rose).map((b) => b.from)).toEqual(rose.map((i) => 10 * i));
    expect(bearings(rose).reduce((sum, b) => sum + b.count, 0)).toBe(153);
  });
});

test('lines over bars: level over each, the band closed', () => {
  const left = (b: number): number => 10 * b;
  const y = (v: number): number => 100 - v;
  expect(stepPath([1, 3], left, y)).toBe('M0.0 99.0L10.0 99.0L10.0 97.0L20.0 97.0');
  expect(bandPath([0, 1], [2, 5], left, y)).toBe(
    'M0.0 98.0L10.0 98.0L10.0 95.0L20.0 95.0L20.0 99.0L10.0 99.0L10.0 100.0L0.0 100.0Z',
  );
  expect(bandPath([], [], left, y)).toBe('');
});
