import booleanPointInPolygon from '@turf/boolean-point-in-polygon';
import { describe, expect, it } from 'vitest';
import type { MultiPolygon, Ring } from '../../../src/domain/base/geo.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import { drawCells } from '../../../src/domain/vetting/match/drawCells.ts';

const box = (x0: number, y0: number, x1: number, y1: number): Ring => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
  [x0, y0],
];

const cellsOf = (d: ReturnType<typeof drawCells>, zone: number): string[] =>
  [...d.zone].flatMap((z, i) => (z === zone ? [`${d.col[i]},${d.row[i]}`] : [])).sort();

/** All cells of the grid whose centre turf finds inside. */
function insideByTurf(zone: MultiPolygon, width: number, height: number): string[] {
  const coordinates = zone.map((p) => p.map((r) => r.map(([x, y]) => [x, y])));
  const out: string[] = [];
  for (let r = 0; r < height; r++)
    for (let c = 0; c < width; c++)
      if (booleanPointInPolygon([c + 0.5, r + 0.5], { type: 'MultiPolygon', coordinates }))
        out.push(`${c + 0.5},${r + 0.5}`);
  return out.sort();
}

/** A star-shaped ring with random radii; never through a cell's centre (coordinates are random). */
function star(random: () => number, x: number, y: number, radius: number): Ring {
  const n = 5 + Math.floor(random() * 20);
  const points = Array.from({ length: n }, (_, i): [number, number] => {
    const r = radius * (0.4 + 0.6 * random());
    const angle = (2 * Math.PI * i) / n;
    return [x + r * Math.cos(angle), y + r * Math.sin(angle)];
  });
  return [...points, points[0]];
}

describe('cells inside a zone', () => {
  it.each(Array.from({ length: 20 }, (_, i) => i + 1))(
    'equal a point-in-polygon test of every cell, seed %i',
    (seed) => {
      const random = rng(seed);
      const [width, height] = [41, 33];
      const zones = Array.from({ length: 3 }, (): MultiPolygon => {
        // Partly outside the grid; the hole is smaller than the smallest outer radius; two polygons may overlap.
        const [x, y, radius] = [random() * 45, random() * 35, 6 + random() * 14];
        const hole = star(random, x, y, radius * 0.38);
        const outer = star(random, x, y, radius);
        const island = star(random, random() * 45, random() * 35, 5);
        return [[outer, hole], [island]];
      });
      const drawn = drawCells(zones, width, height, seed);
      zones.forEach((zone, z) => {
        const want = insideByTurf(zone, width, height);
        expect(drawn.inside[z]).toBe(want.length);
        expect(cellsOf(drawn, z)).toEqual(want); // fewer than the quota: all of them
      });
    },
  );

  it('zones that share a border share no cell and leave none out, even where the border runs through centres', () => {
    const zones: MultiPolygon[] = [[[box(0, 0, 3.5, 8)]], [[box(3.5, 0, 8, 4.5)]], [[box(3.5, 4.5, 8, 8)]]];
    const d = drawCells(zones, 8, 8, 1);
    expect(d.col).toHaveLength(64);
    expect(new Set([...d.col].map((c, i) => `${c},${d.row[i]}`)).size).toBe(64);
  });

  it('a ring that is not closed is closed, and its winding does not matter', () => {
    const open = box(1, 1, 5, 4).slice(0, 4);
    expect(cellsOf(drawCells([[[open]]], 8, 8, 1), 0)).toEqual(
      cellsOf(drawCells([[[[...box(1, 1, 5, 4)].reverse()]]], 8, 8, 1), 0),
    );
  });

  it('nothing is drawn from a zone off the grid, nor does it take from the quota of the others', () => {
    const d = drawCells([[[box(-20, -20, -1, -1)]], [[box(0, 0, 100, 100)]]], 100, 100, 1);
    expect([...d.inside]).toEqual([0, 10_000]);
    expect(d.quota).toBe(2000);
    expect(d.zone.every((z) => z === 1)).toBe(true);
  });
});

describe('the draw', () => {
  const quarters: MultiPolygon[] = [0, 1, 2, 3].map((i) => [
    [box((i % 2) * 100, Math.floor(i / 2) * 100, (i % 2) * 100 + 100, Math.floor(i / 2) * 100 + 100)],
  ]);

  it('takes 2000 cells a zone, different ones, the same for one seed and others for another', () => {
    const a = drawCells(quarters, 200, 200, 5);
    expect(a.col).toHaveLength(8000);
    expect(new Set([...a.col].map((c, i) => `${c},${a.row[i]}`)).size).toBe(8000);
    expect(drawCells(quarters, 200, 200, 5)).toEqual(a);
    expect(drawCells(quarters, 200, 200, 6).col).not.toEqual(a.col);
  });

  it('shares 20 000 cells among more than ten zones', () => {
    const strips: MultiPolygon[] = Array.from({ length: 40 }, (_, i) => [[box(0, i * 10, 200, i * 10 + 10)]]);
    const d = drawCells(strips, 200, 400, 1);
    expect(d.quota).toBe(500);
    expect(d.col).toHaveLength(20_000);
  });

  it('is even over the zone: chi-square over 25 blocks of 20 x 20 cells, seed 9', () => {
    const d = drawCells([[[box(0, 0, 100, 100)]]], 100, 100, 9);
    const counts = new Array<number>(25).fill(0);
    d.col.forEach((c, i) => counts[Math.floor(c / 20) + 5 * Math.floor(d.row[i] / 20)]++);
    // 2000 of 10 000 without replacement: each block 80 on average, variance 80 · 0.96 · 0.8.
    const x2 = counts.reduce((s, n) => s + (n - 80) ** 2 / (80 * 0.8), 0);
    expect(x2).toBeLessThan(51.18); // upper 0.001 point, 24 degrees of freedom
  });
});
