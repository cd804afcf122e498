import { describe, expect, it } from 'vitest';
import type { Place } from '../../../src/domain/base/geo.ts';
import { drawInteger, rng } from '../../../src/domain/base/rng.ts';
import { closeOutline, mayFollow } from '../../../src/domain/layers/drawnOutline.ts';
import { mendRings } from '../../../src/domain/layers/rings.ts';

/** Corners in hundredths of a degree about 39 N, 82 W: a kilometre or so. */
const at = (x: number, y: number): Place => ({ lon: (-8200 + x) / 100, lat: (3900 + y) / 100 });
const all = (...corners: [number, number][]): Place[] => corners.map(([x, y]) => at(x, y));

describe('a corner of an outline that is drawn', () => {
  const bent = all([0, 0], [4, 0], [4, 4]);
  it('may be set where its side keeps clear of those before', () => {
    expect(mayFollow([], at(0, 0))).toBe(true);
    expect(mayFollow(all([0, 0]), at(1, 0))).toBe(true);
    expect(mayFollow(bent, at(0, 4))).toBe(true);
    expect(mayFollow(bent, at(2, 1))).toBe(true);
  });
  it('may not be set where its side crosses, touches or runs back over one before, or has no length', () => {
    expect(mayFollow(bent, at(2, -1))).toBe(false);
    expect(mayFollow(bent, at(2, 0))).toBe(false);
    expect(mayFollow(bent, at(0, 0))).toBe(false);
    expect(mayFollow(bent, at(4, 2))).toBe(false);
    expect(mayFollow(bent, at(4, 4))).toBe(false);
    // Straight on is no trouble.
    expect(mayFollow(bent, at(4, 5))).toBe(true);
  });
});

describe('an outline that is closed', () => {
  it('runs counter-clockwise and ends where it starts, whichever way it was drawn', () => {
    const drawn = all([0, 0], [4, 0], [4, 4], [0, 4]);
    for (const corners of [drawn, [...drawn].reverse()]) {
      const closed = closeOutline(corners);
      if (!closed.ok) throw new Error(closed.why);
      const [ring] = closed.outline[0];
      expect(ring).toHaveLength(5);
      expect(ring[0]).toEqual(ring[4]);
      const twice = ring.slice(1).reduce((s, [x, y], i) => s + ring[i][0] * y - x * ring[i][1], 0);
      expect(twice).toBeGreaterThan(0);
    }
  });
  it('is refused with too few corners, without ground, and where its last side crosses another', () => {
    expect(closeOutline(all([0, 0], [1, 0]))).toEqual({ ok: false, why: 'few' });
    expect(closeOutline(all([0, 0], [1, 0], [2, 0]))).toEqual({ ok: false, why: 'flat' });
    const tiny = [at(0, 0), { lon: -82 + 1e-6, lat: 39 }, { lon: -82, lat: 39 + 1e-6 }];
    expect(closeOutline(tiny)).toEqual({ ok: false, why: 'flat' });
    expect(closeOutline(all([0, 0], [4, 0], [4, 4], [2, 4], [2, 1])).ok).toBe(true);
    // A spiral: the last side would run through the second.
    const spiral = all([2, 2], [2, 3], [4, 3], [4, 0], [0, 0], [0, 5], [6, 5]);
    spiral.forEach((corner, n) => expect(mayFollow(spiral.slice(0, n), corner)).toBe(true));
    expect(closeOutline(spiral)).toEqual({ ok: false, why: 'crosses' });
  });

  it('is sound exactly where the mending of layers finds nothing to mend: 2,000 random drawings', () => {
    const seed = 20260401;
    const random = rng(seed);
    let [closedOnes, refused] = [0, 0];
    for (let i = 0; i < 2000; i++) {
      const corners: Place[] = [];
      const tries = 3 + drawInteger(random, 9);
      for (let t = 0; t < tries; t++) {
        // On integers, where crossing is told without rounding.
        const next = { lon: drawInteger(random, 8), lat: drawInteger(random, 8) };
        if (mayFollow(corners, next)) corners.push(next);
      }
      if (corners.length < 3) continue;
      const ring = [...corners, corners[0]].map(({ lon, lat }) => [lon, lat] as const);
      const { notes } = mendRings([{ geometry: [[ring]], attributes: {} }], 'drawn');
      const closed = closeOutline(corners);
      // A ring of no area is left as it is by the mending, without a word.
      const twice = ring.slice(1).reduce((s, [x, y], j) => s + ring[j][0] * y - x * ring[j][1], 0);
      expect(closed.ok, `seed ${seed}, drawing ${i}: ${JSON.stringify(ring)}`).toBe(
        notes.length === 0 && twice !== 0,
      );
      if (closed.ok) closedOnes++;
      else refused++;
    }
    expect(closedOnes).toBeGreaterThan(300);
    expect(refused).toBeGreaterThan(300);
  });
});
