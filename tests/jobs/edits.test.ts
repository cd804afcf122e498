/** Edits by hand reach vetting, choice and exports through one door; stands come in as polygons. */
import { describe, expect, test } from 'vitest';
import type { Result } from '../../src/domain/base/result.ts';
import { freshPlan, freshPlanting } from '../../src/domain/plan/fresh.ts';
import { vettingKey } from '../../src/domain/plan/keys.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { Plan } from '../../src/domain/plan/schema.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { vettingCsv } from '../../src/io/write/vetting.ts';
import { candidatesOf, editedCandidates } from '../../src/jobs/handlers/candidates.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.failure.what);
  return result.value;
}

const text = (name: string, content: string) => memorySource(name, new TextEncoder().encode(content));
const CSV =
  'id,species,lon,lat,dbh\nA,white oak,-84.5,38.0,50\nB,white oak,-84.50002,38.0,51\nC,bur oak,-84.6,38.1,40\n';
const plan = (candidates: Partial<Plan['candidates']> = {}): Plan => ({
  ...freshPlan('p'),
  plantings: [freshPlanting('p', 'P', 'Quercus alba', { lon: -84.4, lat: 38, name: '' }, [])],
  layers: value(
    parsePlan(
      {
        kinstand: 1,
        title: 't',
        plantings: [],
        layers: [{ id: 'c', definition: 'candidates', path: 'c.csv' }],
      },
      'p',
    ),
  ).layers,
  candidates: { ...freshPlan('').candidates, ...candidates },
});
async function deskOf(p: Plan): Promise<Desk> {
  const desk = createDesk();
  value(await openLayer(desk, p.layers[0], text('c.csv', CSV), {}));
  return desk;
}

describe('edits by hand', () => {
  test('are what is vetted and written; the same desk serves the edits of the next plan', async () => {
    const desk = await deskOf(plan());
    const before = value(await vet(desk, plan(), plan().plantings[0], 'k', {}));
    expect(before.n).toBe(3);
    const edited = plan({
      merged: [{ keep: 'A', repeats: ['B'] }],
      changed: { C: { species: 'white oak', lon: '-84.41' } },
      added: [{ id: 'H1', lon: '-84.39', lat: '38', species: 'white oak' }],
    });
    const after = value(await vet(desk, edited, edited.plantings[0], 'k', {}));
    const { candidates, notes } = value(editedCandidates(desk, edited.candidates));
    expect(notes).toEqual(value(candidatesOf(desk)).notes);
    expect(candidates.id).toEqual(['A', 'C', 'H1']);
    expect(after.n).toBe(3);
    // Measured where they stand now: 0.01 degrees of longitude at 38 degrees north are 878 m (Snyder 1987, table of lengths).
    expect([...after.measures.distance].map((km) => Math.round(km * 10))).toEqual([
      88,
      Math.round(after.measures.distance[1] * 10),
      9,
    ]);
    expect(after.measures.distance[2]).toBeCloseTo(0.878, 2);
    const table = vettingCsv(edited.plantings[0], after, candidates, { members: [], reserves: [] }, '');
    expect(
      table
        .split('\r\n')
        .slice(1, -1)
        .map((line) => line.split(',')[0]),
    ).toEqual(['A', 'C', 'H1']);
    const again = value(await vet(desk, plan(), plan().plantings[0], 'k', {}));
    expect(again.measures.distance).toEqual(before.measures.distance);
  });

  test('change the key of the vetting, so that a stale one is known', () => {
    const p = plan();
    const q = plan({ removed: ['A'] });
    expect(vettingKey(q, q.plantings[0], '1')).not.toBe(vettingKey(p, p.plantings[0], '1'));
  });

  test('alone make a workspace without any table of candidates', async () => {
    const p = {
      ...plan({ added: [{ id: 'H1', lon: '-84.39', lat: '38', species: 'white oak' }] }),
      layers: [],
    };
    expect(value(await vet(createDesk(), p, p.plantings[0], 'k', {})).n).toBe(1);
  });
});

describe('stands as polygons', () => {
  const stand = (name: string, lon: number, side: number) => ({
    type: 'Feature',
    properties: { id: name, species: 'Quercus alba', owner: 'Somebody' },
    geometry: {
      type: 'Polygon',
      coordinates: [
        [
          [lon, 38],
          [lon + side, 38],
          [lon + side, 38 + side],
          [lon, 38 + side],
          [lon, 38],
        ],
      ],
    },
  });
  const file = JSON.stringify({
    type: 'FeatureCollection',
    features: [stand('S1', -84.5, 0.002), stand('S2', -84.4, 0.004)],
  });

  test('each is one candidate with its outline, area and covering radius, and a note says so', async () => {
    const desk = createDesk();
    const layer = value(await openLayer(desk, plan().layers[0], text('stands.geojson', file), {}));
    const c = layer.candidates;
    expect(c?.id).toEqual(['S1', 'S2']);
    expect(c?.text.owner).toEqual(['Somebody', 'Somebody']);
    expect(c?.lon[0]).toBeCloseTo(-84.499, 4);
    // 0.002 degrees are 222.0 m north and 175.6 m east at 38 degrees north (Snyder 1987): 3.90 ha, half the diagonal 141.5 m.
    expect((c?.stands?.get(0)?.area ?? 0) / 1e4).toBeCloseTo(3.9, 1);
    expect(c?.accuracy[0]).toBeGreaterThan(141);
    expect(c?.accuracy[0]).toBeLessThan(144);
    expect(layer.notes.map((n) => n.what).join()).toMatch(
      /2 stands as polygons: each is one candidate; spacing is measured from a point inside/,
    );
  });

  test('keep their outlines when others are removed', async () => {
    const desk = createDesk();
    value(await openLayer(desk, plan().layers[0], text('stands.geojson', file), {}));
    const { candidates } = value(editedCandidates(desk, { ...freshPlan('').candidates, removed: ['S1'] }));
    expect(candidates.id).toEqual(['S2']);
    expect(candidates.stands?.get(0)?.outline[0][0][0][0]).toBe(-84.4);
  });
});
