/**
 * Slope and aspect against gdaldem of GDAL 3.6.2 (Horn's formula is its default). The invented 7 x 6 elevations below
 * were written as an ASCII grid of 30 m cells. Slope was taken with cells 30 m wide and 20 m high:
 *
 *     gdal_translate -ot Float64 -a_ullr 0 120 210 0 dem.asc slope-in.tif && gdaldem slope slope-in.tif slope.tif
 *
 * and aspect with the square cells, because gdaldem's aspect leaves the cell's sides out of account:
 *
 *     gdal_translate -ot Float64 dem.asc aspect-in.tif && gdaldem aspect aspect-in.tif aspect.tif
 *
 * Both were read by gdal_translate -of XYZ. gdaldem works in single precision, leaves out the border and the neighbours
 * of nodata, and gives no aspect on flat ground; its numbers stand here to nine decimals.
 */
import { describe, expect, it } from 'vitest';
import { aspectDegrees, slopeDegrees } from '../../src/domain/layers/terrain.ts';

const no = NaN;
// prettier-ignore
const DEM = [
  [212, 215, 221, 230, 241, 250, 255],
  [210, 214, 222, 233, 246, 251, 260],
  [205, 212, 225, 225, 225, 249, 262],
  [199, 210, 225, 225, 225, 247, no],
  [190, 204, 225, 225, 225, 240, 258],
  [184, 199, 214, 226, 231, 236, 252],
];
// Rows 1 to 4, columns 1 to 5.
// prettier-ignore
const SLOPE = [
  [12.837601662, 15.376251221, 17.481037140, 22.258737564, 18.586227417],
  [18.779920578, 14.186965942, 13.216606140, 26.489276886, no],
  [25.925016403, 15.179705620, 0, 19.309339523, no],
  [31.160066605, 21.954998016, 4.190741062, 14.500966072, no],
];
// prettier-ignore
const ASPECT = [
  [260.362457275, 270, 252.072082520, 244.592285156, 262.073059082],
  [258.407836914, 264.289428711, 215.217590332, 238.465209961, no],
  [253.842666626, 262.875, no, 263.811401367, no],
  [249.145538330, 249.145538330, 259.992004395, 271.847595215, no],
];

describe('Horn slope and aspect', () => {
  it('equal gdaldem', () => {
    const windows: number[] = [];
    for (let r = 1; r <= 4; r++)
      for (let c = 1; c <= 5; c++)
        for (let dr = -1; dr <= 1; dr++) windows.push(...DEM[r + dr].slice(c - 1, c + 2));
    const w = Float64Array.from(windows);
    SLOPE.flat().forEach((slope, i) => {
      const got = slopeDegrees(w, i * 9, 30, 20);
      if (Number.isNaN(slope)) expect(got).toBeNaN();
      else expect(Math.abs(got - slope)).toBeLessThan(1e-5);
    });
    ASPECT.flat().forEach((aspect, i) => {
      const got = aspectDegrees(w, i * 9, 30, 30);
      if (Number.isNaN(aspect)) expect(got).toBeNaN();
      else expect(Math.abs(got - aspect)).toBeLessThan(1e-4);
    });
  });
});
