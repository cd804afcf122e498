/** Boxes come from cs2cs (PROJ 9.1.1): `echo "LAT LON" | cs2cs -f %.0f EPSG:4326 CODE` for the two corners named beside each. */
import { describe, expect, it } from 'vitest';
import type { Box } from '../../src/domain/base/geo.ts';
import { guessCrs } from '../../src/io/crs/guessCrs.ts';

const codes = async (box: Box, near: Box | null): Promise<string[]> =>
  (await guessCrs(box, near)).map((g) => g.crs);
const OHIO: Box = [-83.5, 39, -82.5, 40];

// Corners 39 N 83 W and 39.5 N 82.5 W.
const BOXES: Record<string, Box> = {
  'EPSG:5070': [1111949, 1851083, 1146500, 1912519],
  'EPSG:26917': [326809, 4318679, 371029, 4373338],
  'EPSG:3857': [-9239518, 4721672, -9183858, 4793547],
  'EPSG:3735': [1826403, 364610, 1968500, 546325],
  'EPSG:32123': [556689, 111133, 600000, 166520],
};

describe('guesses of the coordinate system', () => {
  for (const [code, box] of Object.entries(BOXES)) {
    it(`${code} is the first near the open workspace`, async () => {
      const guesses = await guessCrs(box, OHIO);
      expect(guesses.length).toBeLessThanOrEqual(6);
      expect(guesses[0].crs).toBe(code);
      const [w, s, e, n] = guesses[0].extent;
      // The box of the corners in another system is a little larger than the box in degrees.
      expect(
        Math.max(Math.abs(w + 83), Math.abs(s - 39), Math.abs(e + 82.5), Math.abs(n - 39.5)),
      ).toBeLessThan(0.06);
    });

    it(`${code} is among them without a workspace, or one of many zones that share its numbers`, async () => {
      const found = await codes(box, null);
      expect(found.length).toBeGreaterThan(0);
      if (!/^EPSG:(3735|32123)$/.test(code)) expect(found).toContain(code);
    });
  }

  it('Great Lakes Albers, in the area that it is made for', async () => {
    // Corners 43.5 N 85 W and 44 N 84.5 W.
    const box: Box = [956049, 769880, 996472, 825355];
    expect((await codes(box, [-86, 43, -84, 44.5]))[0]).toBe('EPSG:3174');
    expect(await codes(box, null)).toContain('EPSG:3174');
  });

  it('a system that puts the layer into the sea comes after those that put it on land', async () => {
    // A county of North Carolina, corners 35.5 N 79 W and 36 N 78.5 W in EPSG:2264; in EPSG:5070 these lie off the Bahamas.
    const found = await codes([2000000, 636903, 2147899, 819271], null);
    expect(found[0]).not.toBe('EPSG:5070');
    expect((await codes([2000000, 636903, 2147899, 819271], [-80, 35, -78, 37]))[0]).toBe('EPSG:2264');
  });

  it('the same place by another datum comes last', async () => {
    const found = await codes(BOXES['EPSG:26917'], OHIO);
    expect(found.indexOf('EPSG:32617')).toBeGreaterThan(found.indexOf('EPSG:26916'));
  });

  it('degrees are degrees', async () => {
    const [first, ...others] = await guessCrs([-83, 39, -82.5, 39.5], null);
    expect(first).toMatchObject({ crs: 'EPSG:4326', extent: [-83, 39, -82.5, 39.5] });
    expect(first.title).toMatch(/degrees/i);
    expect(others).toEqual([]);
  });

  it('every guess puts the whole box into the region, and says why', async () => {
    for (const box of Object.values(BOXES))
      for (const g of await guessCrs(box, null)) {
        const [w, s, e, n] = g.extent;
        expect(w < e && s < n, g.crs).toBe(true);
        expect(w > -101 && s > 20 && e < -45 && n < 60, `${g.crs} ${g.extent.join(' ')}`).toBe(true);
        expect(g.why).toMatch(/\w/);
        expect(g.title).not.toBe('');
      }
  });

  it('near a workspace elsewhere, its own systems', async () => {
    // Corners 51.5 N 1 W and 52 N 0.5 W in EPSG:27700.
    const found = await codes([469511, 178370, 503073, 234568], [-1.2, 51, 0, 52]);
    expect(found).toContain('EPSG:27700');
  });

  it('falls back on the whole region where nothing fits near the workspace', async () => {
    expect((await codes(BOXES['EPSG:3857'], [-70, 44, -69, 45]))[0]).toBe('EPSG:3857');
  });

  it('gives none for numbers that fit nowhere', async () => {
    expect(await codes([9e9, 9e9, 9.1e9, 9.1e9], null)).toEqual([]);
    expect(await codes([NaN, 0, 1, 1], null)).toEqual([]);
    expect(await codes([Infinity, Infinity, -Infinity, -Infinity], OHIO)).toEqual([]);
  });
});
