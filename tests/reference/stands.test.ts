/**
 * Stands from a file that GDAL 3.6.2 wrote (tests/fixtures/hand/make.sh), their areas against SpatiaLite 5.0.1:
 * select ST_Area(geometry, 1) on the ellipsoid, and the points against its ST_Contains.
 */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';

const AREAS = [230572.073800325, 365174.214927673];

test('area as SpatiaLite has it, the point outside of the hole and of the notch', async () => {
  const plan = parsePlan(
    {
      kinstand: 1,
      title: 't',
      plantings: [],
      layers: [{ id: 'c', definition: 'candidates', path: 's.geojson' }],
    },
    'p',
  );
  if (!plan.ok) throw new Error(plan.failure.what);
  const bytes = new Uint8Array(readFileSync('tests/fixtures/hand/oak-stands.geojson'));
  const layer = await openLayer(
    createDesk(),
    plan.value.layers[0],
    memorySource('oak-stands.geojson', bytes),
    {},
  );
  if (!layer.ok) throw new Error(layer.failure.what);
  const c = layer.value.candidates;
  if (!c?.stands) throw new Error('no stands');
  expect(c.id).toEqual(['ST-1', 'ST-2']);
  AREAS.forEach((area, row) => expect((c.stands?.get(row)?.area ?? NaN) / area).toBeCloseTo(1, 3));
  const [x, y] = [c.lon[1], c.lat[1]];
  expect(x > -82.327 && x < -82.323 && y > 39.051 && y < 39.054).toBe(false);
  // In the left or right half of the notched stand, or beneath the notch: never above its lowest corner in the middle.
  const notch = 39.072 + (Math.abs(c.lon[0] + 82.377) / 0.003) * 0.004;
  expect(c.lat[0]).toBeLessThan(notch);
});
