/** Conversions by the definitions of the units (NIST Special Publication 811, appendix B; from memory): boiling and freezing water, the mile. */
import { describe, expect, it } from 'vitest';
import { layerDefinitions } from '../../../layers/index.ts';
import { fromFileUnit, otherUnits } from '../../../src/domain/layers/fileUnits.ts';
import { openGeotiff } from '../../../src/io/read/rasters/geotiff.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { tiff } from './tiff.ts';

const convert = (of: Parameters<typeof fromFileUnit>[0], file: string, x: number): number => {
  const unit = fromFileUnit(of, file);
  if (!unit) throw new Error(`no unit ${file}`);
  return unit.factor * x + unit.offset;
};

describe('units of a file', () => {
  it('become the definition’s', () => {
    expect(convert('m', 'ft', 5280)).toBeCloseTo(1609.344, 9);
    expect(convert('m', 'US survey ft', 3937)).toBeCloseTo(1200, 9);
    expect(convert('°C', '°F', 212)).toBeCloseTo(100, 9);
    expect(convert('°C', '°F', 32)).toBeCloseTo(0, 9);
    expect(convert('°C', 'K', 273.15)).toBeCloseTo(0, 9);
    expect(convert('mm', 'in', 40)).toBe(1016);
    // A sum of degrees over days has no offset.
    expect(convert('°C d', '°F d', 1800)).toBeCloseTo(1000, 9);
  });

  it('are none where the file is in the definition’s unit, or in one that is not known', () => {
    expect(fromFileUnit('m', 'm')).toBeNull();
    expect(fromFileUnit('m', undefined)).toBeNull();
    expect(fromFileUnit('m', 'fathoms')).toBeNull();
    expect(otherUnits('class')).toEqual([]);
  });

  it('never repeat the definition’s own', () => {
    for (const d of layerDefinitions) expect(otherUnits(d.unit).map((u) => u.name)).not.toContain(d.unit);
  });

  it('hold for every way in which a raster is asked, and leave missing cells missing', async () => {
    const bytes = tiff({ width: 3, height: 3, values: [32, -9, 212, 32, -9, 212, 32, 32, 32], nodata: '-9' });
    const raster = await openGeotiff(memorySource('f.tif', bytes));
    if (!raster.ok) throw new Error(raster.failure.what);
    const celsius = raster.value.inUnit(5 / 9, -160 / 9);
    const [col, row] = [Float64Array.of(0.5, 1.5, 2.5), Float64Array.of(0.5, 0.5, 0.5)];
    const results = [
      await celsius.sample(1, col, row, 'nearest'),
      await celsius.window3(1, Float64Array.of(1), Float64Array.of(1)),
      await celsius.picture(1, [0, 0, 3, 1], 3, 1),
    ];
    for (const [i, result] of results.entries()) {
      if (!result.ok) throw new Error('failed');
      const [a, b, c] = i === 1 ? result.value.slice(0, 3) : result.value;
      expect(a).toBeCloseTo(0, 5);
      expect(b).toBeNaN();
      expect(c).toBeCloseTo(100, 5);
    }
    // The file's own values stand beside them, from the same blocks.
    const own = await raster.value.sample(1, col, row, 'nearest');
    expect(own.ok && [...own.value]).toEqual([32, NaN, 212]);
    expect(celsius.heldBytes()).toBe(raster.value.heldBytes());
  });
});
