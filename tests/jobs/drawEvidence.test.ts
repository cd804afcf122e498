/** What is drawn about a tree is what was measured: the demo (invented), its trees and its layers. */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { geodesicMetres } from '../../src/domain/base/geodesy.ts';
import type { Result } from '../../src/domain/base/result.ts';
import type { Candidates } from '../../src/domain/candidates/candidates.ts';
import { GROUNDS } from '../../src/domain/layers/landcover.ts';
import { nearest } from '../../src/domain/layers/nearest.ts';
import { SETTINGS } from '../../src/domain/layers/settings.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { Plan } from '../../src/domain/plan/schema.ts';
import type { EvidenceMark } from '../../src/domain/vetting/origin/marks.ts';
import type { Measures } from '../../src/domain/vetting/vetting.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { candidatesOf } from '../../src/jobs/handlers/candidates.ts';
import { createDesk, layersOf } from '../../src/jobs/handlers/desk.ts';
import { drawEvidence } from '../../src/jobs/handlers/drawEvidence.ts';
import { measure } from '../../src/jobs/handlers/measure.ts';
import { noMemo } from '../../src/jobs/handlers/memo.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { groundsOf } from '../../src/jobs/handlers/ground.ts';
import { shapesOf } from '../../src/jobs/handlers/shapesOf.ts';

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.failure.where} ${result.failure.what}`);
  return result.value;
}
const READ = ['candidates', 'land-cover', 'buildings', 'roads', 'inventory', 'settings', 'native-range'];
const desk = createDesk();
let plan: Plan;
let candidates: Candidates;
let measures: Measures;
const marksOf = new Map<number, readonly EvidenceMark[]>();

beforeAll(async () => {
  plan = value(parsePlan(JSON.parse(readFileSync('demo-data/plan.json', 'utf8')), 'demo'));
  for (const entry of plan.layers.filter((l) => READ.includes(l.definition)))
    value(
      await openLayer(
        desk,
        entry,
        memorySource(entry.path ?? '', new Uint8Array(readFileSync(`demo-data/${entry.path}`))),
        {},
      ),
    );
  candidates = value(candidatesOf(desk)).candidates;
  const site = plan.plantings[0].site;
  measures = value(await measure(desk, candidates, [site], 1000, plan.evidence, {}, noMemo)).measures;
  for (let row = 0; row < candidates.n; row++)
    // All would take long; a row along a road is rare.
    if (row % 5 === 0 || measures.roadRow[row] > 0)
      marksOf.set(row, value(await drawEvidence(desk, { plan, candidate: candidates.id[row] })));
});

type Of<K> = Extract<EvidenceMark, { kind: K }>;
const find = <K extends EvidenceMark['kind']>(row: number, kind: K, piece: string): Of<K>[] =>
  (marksOf.get(row) ?? []).filter((m): m is Of<K> => m.kind === kind && m.pieces.includes(piece));
const rows = (): number[] => [...marksOf.keys()];

describe('what is drawn of the evidence', () => {
  test.each([
    ['building', 'building'],
    ['road', 'roadEdge'],
    ['inventory', 'inventory'],
  ] as const)(
    'a link to the nearest %s has the metres of the sheet, and that length on the ground',
    (piece, measure) => {
      let drawn = 0;
      for (const row of rows()) {
        const metres = measures[measure][row];
        const [link] = find(row, 'link', piece);
        const wanted = piece === 'inventory' ? metres > 0 && metres <= 500 : metres > 0;
        expect([row, link !== undefined]).toEqual([row, wanted]);
        if (!wanted) continue;
        drawn++;
        expect(link.metres).toBe(metres);
        expect(link.from).toEqual({ lon: candidates.lon[row], lat: candidates.lat[row] });
        const length = geodesicMetres(link.from.lon, link.from.lat, link.to.lon, link.to.lat);
        // The plane at the tree is right to 1e-4 within 2 km; farther, the sheet tells the geodesic.
        expect(Math.abs(length - metres)).toBeLessThan(1e-3 + 2e-4 * metres);
      }
      expect(drawn).toBeGreaterThan(20);
    },
  );

  test('cells of land cover by kind of ground are those that the shares were counted from', async () => {
    const [layer] = layersOf(desk, 'land-cover');
    const { content } = layer.opened;
    if (content.kind !== 'raster') throw new Error('no raster');
    const { raster } = content;
    const { col, row: line } = raster.toPixel(candidates.lon, candidates.lat);
    const counts = value(await raster.countWithin(1, col, line, 100, groundsOf(layer), GROUNDS.length));
    let trees = 0;
    for (const row of rows()) {
      const grounds = find(row, 'ground', 'developed100');
      if (grounds.length === 0) continue;
      trees++;
      const drawn = GROUNDS.map((g) => grounds.find((m) => m.ground === g)?.cells ?? 0);
      expect(drawn).toEqual([...counts.subarray(row * GROUNDS.length, (row + 1) * GROUNDS.length)]);
      const share = (of: readonly string[]): number =>
        grounds.reduce((sum, m) => sum + (of.includes(m.ground ?? '') ? m.share : 0), 0);
      expect(share(['developed', 'developed open'])).toBeCloseTo(measures.developed100[row], 12);
      expect(share(['forest'])).toBeCloseTo(measures.forest100[row], 12);
    }
    expect(trees).toBeGreaterThan(100);
  });

  test('each cell has its centre within 100 m, its corners a cell apart, and the label in a cell of its kind', () => {
    for (const row of rows()) {
      for (const mark of find(row, 'ground', 'cover')) {
        expect(mark.geometry.length).toBe(mark.cells);
        const centres = mark.geometry.map(([ring]) => {
          expect(ring).toHaveLength(5);
          expect(ring[0]).toEqual(ring[4]);
          expect(geodesicMetres(...ring[0], ...ring[1])).toBeCloseTo(30, 0);
          return [0, 1].map((axis) => ring.slice(0, 4).reduce((sum, p) => sum + p[axis] / 4, 0));
        });
        const apart = centres.map(([lon, lat]) =>
          geodesicMetres(lon, lat, candidates.lon[row], candidates.lat[row]),
        );
        expect(Math.max(...apart)).toBeLessThan(100.01);
        expect(
          Math.min(...centres.map(([lon, lat]) => geodesicMetres(lon, lat, mark.at.lon, mark.at.lat))),
        ).toBeLessThan(0.1);
      }
    }
  });

  test('outlined buildings are as many as were counted within 100 m, the nearest among them', () => {
    for (const row of rows()) {
      expect(find(row, 'area', 'buildings100')).toHaveLength(measures.buildings100[row] || 0);
      expect(find(row, 'area', 'building')).toHaveLength(Number.isNaN(measures.building[row]) ? 0 : 1);
    }
  });

  test('a row along the road has its trees in order, this one among them', () => {
    const inRow = rows().filter((row) => measures.roadRow[row] > 0);
    expect(inRow.length).toBeGreaterThan(0);
    for (const row of rows()) {
      const [trees] = find(row, 'trees', 'roadRow');
      if (!(measures.roadRow[row] > 0)) {
        expect(trees).toBeUndefined();
        continue;
      }
      expect(trees.rows).toHaveLength(measures.roadRow[row]);
      expect([...trees.rows]).toContain(candidates.duplicateOf[row] < 0 ? row : candidates.duplicateOf[row]);
      // In order: neighbours are never more than the longest gap of a row (40 m) and its band (6 m) apart.
      trees.places.slice(1).forEach((place, i) => {
        const before = trees.places[i];
        expect(geodesicMetres(before.lon, before.lat, place.lon, place.lat)).toBeLessThan(47);
      });
    }
  });

  test('the setting drawn is the one of the sheet', () => {
    let some = 0;
    for (const row of rows()) {
      const [area] = find(row, 'area', 'setting');
      expect([row, area?.label]).toEqual([row, SETTINGS[measures.setting[row]]]);
      if (area) some++;
    }
    expect(some).toBeGreaterThan(10);
  });

  test('the line of the road ends 300 m from the tree', () => {
    for (const row of rows())
      for (const { lines } of find(row, 'lines', 'road'))
        for (const [lon, lat] of lines.flat())
          expect(geodesicMetres(lon, lat, candidates.lon[row], candidates.lat[row])).toBeLessThan(300.1);
  });

  test('one that is not there is a failure in words', async () => {
    const gone = await drawEvidence(desk, { plan, candidate: 'nobody' });
    expect(gone.ok ? '' : `${gone.failure.where} ${gone.failure.what}`).toBe(
      'nobody is not among the candidates that are open',
    );
  });
});

test('the index tells each shape that it counts, once a place', () => {
  const shapes = shapesOf(desk, 'buildings', 'polygon');
  if (!shapes) throw new Error('no buildings');
  const told = new Map<number, Set<number>>();
  const { count } = nearest(shapes.index, candidates.lon, candidates.lat, {
    within: 150,
    counted: (shape, place) => {
      const own = told.get(place) ?? new Set();
      expect(own.has(shape)).toBe(false);
      told.set(place, own.add(shape));
    },
  });
  for (const i of rows()) expect(told.get(i)?.size ?? 0).toBe(count[i]);
});
