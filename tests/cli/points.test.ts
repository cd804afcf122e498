/** Points files of the command: any position that tables are read in. Values: PROJ 9.1.1 (cs2cs), as in tests/jobs/tables.test.ts. */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openPoints } from '../../src/cli/open.ts';

const folder = mkdtempSync(join(tmpdir(), 'points-'));
const file = (text: string): string => {
  const path = join(folder, 'points.csv');
  writeFileSync(path, text);
  return path;
};

describe('points for a verb', () => {
  const said = vi.spyOn(console, 'error');
  beforeEach(() => said.mockImplementation(() => undefined));
  afterEach(() => said.mockClear());

  it('come from degrees, degrees and minutes, or a UTM grid', async () => {
    for (const [text, lon, lat] of [
      ['id,lon,lat,weight\nb,-84.5,38.1,2\n', -84.5, 38.1],
      ['name;Lat N;Long W;weight\nb;38 6;84,5;2\n', -84.5, 38.1],
      ['id,UTM 16N E,UTM 16N N,weight\nb,684000,4205000,2\n', -84.90511829, 37.97399525],
    ] as const) {
      const points = await openPoints(file(text));
      if (!points.ok) throw new Error(points.failure.what);
      expect(points.value.id).toEqual(['b']);
      expect(points.value.lon[0]).toBeCloseTo(lon, 7);
      expect(points.value.lat[0]).toBeCloseTo(lat, 7);
      expect(points.value.field('weight')).toEqual(['2']);
      expect(points.value.field('other')).toBeNull();
    }
    expect(said).not.toHaveBeenCalled();
  });

  it('are refused whole where a row has no position: an answer with points missing would mislead', async () => {
    const points = await openPoints(file('id,lon,lat\na,-84,38\nb,-84,north\n'));
    expect(points.ok ? null : points.failure).toMatchObject({
      where: 'points.csv, row 3, lat',
      what: '"north" is not a number of degrees',
    });
    const none = await openPoints(file('id,species\na,white oak\n'));
    expect(none.ok ? '' : none.failure.what).toMatch(/no column for longitude and latitude/);
  });

  it('say on standard error what was mended or looks wrong', async () => {
    const points = await openPoints(file('id,lon,lat\na,-84,38\nb,85,38\nc,-86,38\n'));
    expect(points.ok && [...points.value.lon]).toEqual([-84, -85, -86]);
    expect(said.mock.calls.flat()).toEqual([expect.stringMatching(/row 3, lon: 85 has lost its minus sign/)]);
  });
});
