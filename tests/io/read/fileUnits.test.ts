/** Conversions by the definitions of the units (NIST Special Publication 811, appendix B; from memory): boiling and freezing water, the mile. */
import { describe, expect, it } from 'vitest';
import { layerDefinitions } from '../../../layers/index.ts';
import { fromFileUnit, otherUnits } from '../../../src/domain/layers/fileUnits.ts';
import { rasterInUnit } from '../../../src/io/read/rasters/rasterInUnit.ts';
import type { Raster } from '../../../src/io/read/rasters/raster.ts';

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
    const answer = { ok: true, value: Float64Array.of(32, NaN, 212) } as const;
    const raster = {
      bands: [],
      sample: () => Promise.resolve(answer),
      window3: () => Promise.resolve(answer),
      picture: () => Promise.resolve({ ok: true, value: Float32Array.of(32, NaN, 212) }),
    } as unknown as Raster;
    const celsius = rasterInUnit(raster, 5 / 9, -160 / 9);
    const place = Float64Array.of(0);
    const results = [
      await celsius.sample(1, place, place, 'nearest'),
      await celsius.window3(1, place, place),
      await celsius.picture(1, [0, 0, 1, 1], 1, 1),
    ];
    for (const result of results) {
      if (!result.ok) throw new Error('failed');
      expect(result.value[0]).toBeCloseTo(0, 5);
      expect(result.value[1]).toBeNaN();
      expect(result.value[2]).toBeCloseTo(100, 5);
    }
  });
});
