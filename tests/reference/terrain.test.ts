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
 * of nodata, and gives no aspect on flat ground.
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
  [12.837601661682129, 15.376251220703125, 17.481037139892578, 22.258737564086914, 18.586227416992188],
  [18.77992057800293, 14.186965942382812, 13.216606140136719, 26.489276885986328, no],
  [25.925016403198242, 15.179705619812012, 0, 19.30933952331543, no],
  [31.160066604614258, 21.954998016357422, 4.190741062164307, 14.50096607208252, no],
];
// prettier-ignore
const ASPECT = [
  [260.3624572753906, 270, 252.07208251953125, 244.59228515625, 262.07305908203125],
  [258.4078369140625, 264.2894287109375, 215.21759033203125, 238.4652099609375, no],
  [253.84266662597656, 262.875, no, 263.8114013671875, no],
  [249.14553833007812, 249.14553833007812, 259.99200439453125, 271.84759521484375, no],
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
