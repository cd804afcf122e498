/** Contacts of zones set by hand: the table for the screen, and the rule on zones. Zones of the demo (invented). */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { editLayer } from '../../src/domain/plan/change.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { LayerEntry, Plan } from '../../src/domain/plan/schema.ts';
import type { Vetting } from '../../src/domain/vetting/vetting.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { contacts } from '../../src/jobs/handlers/contacts.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';

const parsed = parsePlan(JSON.parse(readFileSync('demo-data/plan.json', 'utf8')), 'plan.json');
if (!parsed.ok) throw new Error(parsed.failure.what);
const plan: Plan = {
  ...parsed.value,
  layers: parsed.value.layers.filter((l) => ['zones', 'candidates'].includes(l.definition)),
  plantings: [{ ...parsed.value.plantings[0], variables: [] }],
};
const zonesId = plan.layers.find((l) => l.definition === 'zones')?.id ?? '';

async function open(entries: readonly LayerEntry[]): Promise<Desk> {
  const desk = createDesk();
  for (const entry of entries) {
    const bytes = new Uint8Array(readFileSync(`demo-data/${entry.path}`));
    const opened = await openLayer(desk, entry, memorySource(entry.path ?? '', bytes), {});
    if (!opened.ok) throw new Error(opened.failure.what);
  }
  return desk;
}
async function vetted(desk: Desk, by: Plan): Promise<Vetting> {
  const result = await vet(desk, by, by.plantings[0], 'k', {});
  if (!result.ok) throw new Error(result.failure.what);
  return result.value;
}

describe('the table of contacts', () => {
  it('gives keys, names and what is drawn, and follows the plan without reopening', async () => {
    const desk = await open(plan.layers);
    const table = contacts(desk, { layers: plan.layers, snap: 30 });
    if (!table.ok) throw new Error(table.failure.what);
    expect(table.value.layer).toBe(zonesId);
    expect(table.value.zones).toHaveLength(8);
    for (const {
      box: [west, south, east, north],
    } of table.value.zones) {
      expect([west < east, south < north]).toEqual([true, true]);
      // The demo lies in south-eastern Ohio.
      expect([west > -84, east < -81, south > 38, north < 40]).toEqual([true, true, true, true]);
    }
    expect(table.value.pairs[0]).toMatchObject({ a: 'Z1', b: 'Z2', contact: 'edge', byHand: false });
    expect(table.value.pairs[0].names.every((n) => n.length > 2)).toBe(true);
    const edited = editLayer(plan, zonesId, { contacts: [{ a: 'Z2', b: 'Z1', contact: 'none' }] }).after;
    const after = contacts(desk, { layers: edited.layers, snap: 30 });
    expect(after.ok && after.value.pairs[0]).toMatchObject({
      contact: 'none',
      drawn: 'edge',
      byHand: true,
    });
    expect(after.ok && after.value.pairs[0].sharedMetres).toBeGreaterThan(20_000);
  });

  it('is refused with a sentence where no zones are open', () => {
    expect(contacts(createDesk(), { layers: [], snap: 30 }).ok).toBe(false);
  });
});

describe('the rule on zones', () => {
  it('goes by what a person set', async () => {
    const desk = await open(plan.layers);
    const before = await vetted(desk, plan);
    const home = before.zones.keys[before.sites[0].zone];
    const edge = before.zones.adjacency?.pairs.find(
      (p) => p.contact === 'edge' && (p.a === before.sites[0].zone || p.b === before.sites[0].zone),
    );
    const neighbour = edge ? (edge.a === before.sites[0].zone ? edge.b : edge.a) : -1;
    const failing = (v: Vetting): number => {
      const rule = v.findings.rules.find((f) => f.rule === 'zone');
      return [...v.measures.zone.keys()].filter(
        (i) => v.measures.zone[i] === neighbour && rule?.answer[i] === 1,
      ).length;
    };
    const trees = before.measures.zone.filter((z) => z === neighbour).length;
    expect(trees).toBeGreaterThan(10);
    const edited = editLayer(plan, zonesId, {
      contacts: [{ a: home, b: before.zones.keys[neighbour], contact: 'none' }],
    }).after;
    const after = await vetted(desk, edited);
    expect([failing(before), failing(after)]).toEqual([0, trees]);
    const stray = editLayer(plan, zonesId, { contacts: [{ a: home, b: 'no zone', contact: 'edge' }] }).after;
    expect((await vetted(desk, stray)).notes.join(' ')).toContain('no zone');
  });
});

describe('several layers of zones', () => {
  it('uses the first in the plan, whichever was opened first and however the plan is turned round', async () => {
    const [own] = plan.layers.filter((l) => l.id === zonesId);
    const county = {
      ...own,
      id: 'county',
      path: '../tests/fixtures/county/seed-zones.fgb',
      key: 'ZONE',
      name: 'NAME',
    };
    const desk = await open([county, ...plan.layers]);
    for (const [layers, first] of [
      [[...plan.layers, county], 'Z1 Z2 edge'],
      [[county, ...plan.layers], 'S2 N2 edge'],
    ] as const) {
      const table = contacts(desk, { layers, snap: 30 });
      if (!table.ok) throw new Error(table.failure.what);
      expect(table.value.layer).toBe(layers.find((l) => l.definition === 'zones')?.id);
      const [pair] = table.value.pairs;
      expect(`${pair.a} ${pair.b} ${pair.contact}`).toBe(first);
    }
  });
});

describe('zones as they are drawn', () => {
  it('are mended where that is safe, joined by key, and listed where not', async () => {
    const ring = (...points: number[][]): number[][][] => [[...points, points[0]]];
    const features = [
      ['bow', ring([-85, 38], [-84, 39], [-84, 38], [-85, 39])],
      ['ok', ring([-86, 38], [-85, 38], [-85, 38], [-85, 39], [-86, 39])],
      ['ok', ring([-87, 38], [-86, 38], [-86, 39], [-87, 39])],
    ].map(([zone, coordinates]) => ({
      type: 'Feature',
      properties: { zone },
      geometry: { type: 'Polygon', coordinates },
    }));
    const bytes = new TextEncoder().encode(JSON.stringify({ type: 'FeatureCollection', features }));
    const [entry] = plan.layers.filter((l) => l.id === zonesId);
    const desk = createDesk();
    const opened = await openLayer(
      desk,
      { ...entry, key: 'zone', name: '' },
      memorySource('odd.geojson', bytes),
      {},
    );
    if (!opened.ok) throw new Error(opened.failure.what);
    const said = opened.value.notes.map((n) => `${n.where}: ${n.what}`);
    expect(said).toContain('odd.geojson: a corner set twice in a row: dropped (1 feature)');
    expect(said.join(' ')).toMatch(/odd\.geojson, bow: an outline that crosses itself near -84\.5/);
    expect(opened.value.zones?.map((z) => [z.key, z.area.geometry.length])).toEqual([
      ['bow', 1],
      ['ok', 1],
    ]);
  });
});
