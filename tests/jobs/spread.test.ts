/** The spread of the demo's plantings (invented data): without candidates, the same that the match is measured with. */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { Plan, Planting } from '../../src/domain/plan/schema.ts';
import type { SpreadView } from '../../src/domain/vetting/match/types.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { spread } from '../../src/jobs/handlers/spread.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';
import { functionRaster } from './functionRaster.ts';

const parsed = parsePlan(JSON.parse(readFileSync('demo-data/plan.json', 'utf8')), 'plan.json');
if (!parsed.ok) throw new Error(parsed.failure.what);
const plan = parsed.value;
const [planting] = plan.plantings;
const [warmth, , rain] = planting.variables;

async function deskOf(ids: (id: string) => boolean): Promise<Desk> {
  const desk = createDesk();
  for (const entry of plan.layers.filter((l) => ids(l.id))) {
    const bytes = new Uint8Array(readFileSync(`demo-data/${entry.path}`));
    const opened = await openLayer(desk, entry, memorySource(entry.path ?? '', bytes), {});
    if (!opened.ok) throw new Error(opened.failure.what);
  }
  return desk;
}
const changed = (change: Partial<Planting>): Plan => ({ ...plan, plantings: [{ ...planting, ...change }] });
async function view(desk: Desk, change: Partial<Planting> = {}): Promise<SpreadView> {
  const r = await spread(desk, { plan: changed(change), plantingId: planting.id }, {});
  if (!r.ok) throw new Error(`${r.failure.where} ${r.failure.what}`);
  return r.value;
}

let desk: Desk;
beforeAll(async () => {
  desk = await deskOf((id) => planting.variables.includes(id) || id === 'zones');
});

describe('the spread of a planting', () => {
  it('is that of its match, and needs no candidates', async () => {
    const full = await deskOf(
      (id) => planting.variables.includes(id) || ['zones', 'candidates'].includes(id),
    );
    const vetted = await vet(full, changed({}), planting, 'k', {});
    if (!vetted.ok || !vetted.value.spread) throw new Error('no match');
    const { reference, ...rest } = vetted.value.spread;
    const shown = await view(desk);
    expect(shown.spread).toEqual(rest);
    expect(reference[0]).toHaveLength(shown.spread.cells);
    expect(shown.variables).toEqual(vetted.value.match?.variables);
  });

  it('has a correlation matrix that its covariance is made of', async () => {
    const { correlation, spread: s } = await view(desk);
    const k = s.variables.length;
    const sd = s.variables.map((_, v) => Math.sqrt(s.covariance[v * k + v]));
    correlation.forEach((r, at) => {
      const [i, j] = [Math.floor(at / k), at % k];
      expect(Math.abs(r - correlation[j * k + i])).toBeLessThan(1e-12);
      expect(Math.abs(r * sd[i] * sd[j] - s.covariance[at])).toBeLessThan(1e-12 * sd[i] * sd[j]);
      if (i === j) expect(r).toBe(1);
    });
  });

  it('shows some of its cells in the unit of the file, evenly over the zones, inside its range', async () => {
    const { sample, spread: s, check } = await view(desk);
    if (!sample) throw new Error('no sample');
    const each = new Map<number, number>();
    for (const z of sample.zone) each.set(z, (each.get(z) ?? 0) + 1);
    expect(sample.zone.length).toBeGreaterThan(1490);
    expect(sample.zone.length).toBeLessThanOrEqual(1500);
    expect([...each.keys()].sort()).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    expect(Math.max(...each.values()) - Math.min(...each.values())).toBeLessThanOrEqual(1);
    // Rain is compared as a logarithm, and shown in millimetres.
    const at = planting.variables.indexOf(rain);
    for (const mm of sample.values[at]) {
      expect(Math.log(mm)).toBeGreaterThanOrEqual(s.low[at]);
      expect(Math.log(mm)).toBeLessThanOrEqual(s.high[at]);
    }
    expect(check?.pairs).toBe(20_000);
    expect((await view(desk)).sample).toEqual(sample);
  });

  it('from a chosen circle has cells of no zone', async () => {
    const circle = await view(desk, { spread: { kind: 'circle', km: 20 } });
    expect(circle.spread).toMatchObject({
      basis: 'circle',
      zones: 0,
      from: 'within 20 km of the site (as chosen)',
    });
    expect(circle.notes).toEqual([]);
    expect(new Set(circle.sample?.zone)).toEqual(new Set([-1]));
  });

  it('says why a circle is used where zones will not do', async () => {
    const without = await deskOf((id) => planting.variables.includes(id));
    const { notes, spread: s } = await view(without);
    expect(s.basis).toBe('circle');
    expect(notes).toEqual(['Taken from a circle and not from zones: no zones loaded']);
  });

  it('typed in: has cells where zones are, and neither check nor sample where none are', async () => {
    const sd = Object.fromEntries(planting.variables.map((id) => [id, 0.5]));
    const typed = { spread: { kind: 'typed' as const, sd } };
    const there = await view(desk, typed);
    expect(there.correlation).toEqual(Float64Array.of(1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1));
    expect(there.check?.advice[0]).toMatch(
      /^By the deviations typed in, \d+ % of pairs inside one zone match/,
    );
    expect(there.sample?.zone.length).toBeGreaterThan(1490);
    const without = await view(await deskOf((id) => planting.variables.includes(id)), typed);
    expect([without.check, without.sample, without.spread.cells]).toEqual([null, null, 0]);
  });

  it('notes variables that are nearly the same', async () => {
    const layer = plan.layers.find((l) => l.id === warmth);
    if (!layer) throw new Error('no layer');
    const copy = { ...layer, id: 'copy', title: 'Copy' };
    const two = await deskOf((id) => [warmth, rain, 'zones'].includes(id));
    const bytes = new Uint8Array(readFileSync(`demo-data/${layer.path}`));
    await openLayer(two, copy, memorySource('copy', bytes), {});
    const input = changed({ variables: [warmth, 'copy', rain] });
    const r = await spread(
      two,
      { plan: { ...input, layers: [...plan.layers, copy] }, plantingId: planting.id },
      {},
    );
    if (!r.ok) throw new Error(r.failure.what);
    expect(r.value.spread.kept).toBe(2);
    expect(r.value.notes).toEqual(['Mean annual temperature and Copy are nearly the same in this area']);
  });

  it('notes cells that have no logarithm, and says what to do where they leave too few', async () => {
    const dry = await deskOf((id) => [warmth, rain, 'zones'].includes(id));
    const layer = dry.layers.get(rain);
    if (layer?.opened.content.kind !== 'raster') throw new Error('no raster');
    const { extent } = layer.opened.content.raster;
    const withRain = (mm: (lon: number, lat: number) => number): void => {
      const raster = functionRaster(extent, 0.005, mm);
      dry.layers.set(rain, { ...layer, opened: { ...layer.opened, content: { kind: 'raster', raster } } });
      dry.memo = new Map();
    };
    withRain((lon, lat) => 900 + Math.round(99 * Math.sin(1e4 * lon * lat)) * 10);
    const { notes } = await view(dry, { variables: [warmth, rain] });
    expect(notes[0]).toMatch(
      /^Annual precipitation: [\d,]+ of [\d,]+ reference cells hold zero or less, which has no logarithm; they are left out$/,
    );
    withRain(() => 0);
    const plan0 = changed({ variables: [warmth, rain] });
    expect(await spread(dry, { plan: plan0, plantingId: planting.id }, {})).toMatchObject({
      ok: false,
      failure: {
        code: 'variables',
        todo: 'Compare Annual precipitation without the logarithm, which values of zero or less do not have.',
      },
    });
  });

  it('fails in words where a variable is not open, is not there, or the planting is not', async () => {
    const closed = await deskOf((id) => id === warmth);
    const r = await spread(closed, { plan: changed({}), plantingId: planting.id }, {});
    expect(r).toMatchObject({
      ok: false,
      failure: { code: 'variables', where: 'Mean temperature of the coldest month', what: 'is not open' },
    });
    const none = await spread(desk, { plan: changed({ variables: [] }), plantingId: planting.id }, {});
    expect(none).toMatchObject({ ok: false, failure: { code: 'variables' } });
    expect(await spread(desk, { plan, plantingId: 'nowhere' }, {})).toMatchObject({
      ok: false,
      failure: { code: 'plan', where: 'nowhere' },
    });
  });
});
