/** Points files of the command: any position that tables are read in. Values: PROJ 9.1.1 (cs2cs), as in tests/jobs/tables.test.ts. */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openPoints } from '../../src/cli/open.ts';
import { inspect } from '../../src/cli/verbs/inspect.ts';

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

describe('inspect', () => {
  const look = async (text: string, ...more: string[]) => {
    const answer = await inspect.run([file(text), ...more], {});
    if (!answer.ok || !('json' in answer.value)) throw new Error('a document was expected');
    return (answer.value.json as { files: Array<Record<string, unknown>> }).files[0];
  };

  it('tells where the rows of a table lie, and what can be mended, as the screen does', async () => {
    expect(await look('id,lon,lat\na,84,38\nb,85,39\n')).toMatchObject({
      ok: true,
      kind: 'table',
      count: 2,
      extent: [84, 38, 85, 39],
      offers: [{ mend: 'sign', extent: [-85, 38, -84, 39] }],
      notes: [expect.stringMatching(/2 of 2 longitudes are positive/)],
    });
    expect(await look('id,x,y\na,840000,1700000\n')).toMatchObject({
      ok: true,
      extent: null,
      notes: [expect.stringMatching(/does not say its coordinate system/)],
    });
    const { extent } = await look('id,x,y\na,1000000,1800000\n', '--crs', 'EPSG:5070');
    // PROJ 9.1.1: `echo "1000000 1800000" | cs2cs -f %.8f EPSG:5070 EPSG:4326`.
    expect((extent as number[]).map((v) => v.toFixed(6))).toEqual([
      '-84.367714',
      '38.677138',
      '-84.367714',
      '38.677138',
    ]);
  });
});
