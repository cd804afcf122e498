import { describe, expect, it, vi } from 'vitest';
import { fail, missingCrs, ok } from '../../src/domain/base/result.ts';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import type { Bytes, Inspection } from '../../src/jobs/protocol.ts';
import { accepted } from '../../src/state/accept.ts';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { Intake, type IntakeItem } from '../../src/state/intake.svelte.ts';
import { fakeJobs, type Answers } from './fakeWorker.ts';

const file = (name: string): Bytes => ({ kind: 'blob', name, blob: new Blob([name]) });

const found = (part: Partial<Inspection>): Inspection => ({
  file: 'zones.shp',
  format: 'shapefile',
  kind: 'polygon',
  crs: 'EPSG:5070',
  extent: [-83, 38, -82, 39],
  count: 3,
  fields: ['ZONE'],
  parts: [],
  part: '',
  offers: [],
  classes: [],
  sample: null,
  notes: [],
  definitions: ['zones', 'settings'],
  definition: 'zones',
  period: '',
  figures: null,
  ...part,
});

function intake(answers: Answers, missing: LayerEntry[] = []) {
  const relinked: Array<{ layer: string; checked: boolean; beside: string[] }> = [];
  const photos: IntakeItem[] = [];
  const made = new Intake(
    fakeJobs({ fingerprint: () => ok({ size: 9, sha256: 'a'.repeat(64) }), ...answers }),
    {
      titleOf: (id) => (id === 'zones' ? 'Seed-collection zones' : id),
      near: () => [-83, 38, -82, 39],
      recall: () => Promise.resolve(null),
      missing: () => missing,
      relink: (layer, bytes, _print, checked) =>
        relinked.push({
          layer,
          checked,
          beside: bytes.kind === 'blob' ? (bytes.beside ?? []).map((b) => b.name) : [],
        }),
      photos: (items) => photos.push(...items),
    },
  );
  return { made, relinked, photos };
}

describe('intake', () => {
  it('lists a file once more for each of the things in it, and makes layers that share the file', async () => {
    const parts = ['buildings', 'roads'].map((name) => ({ name, kind: 'line' as const, count: 2 }));
    const read: Array<string | undefined> = [];
    const { made } = intake({
      inspect: ({ reading }) => {
        read.push(reading.part);
        return ok(
          found({
            kind: 'line',
            parts,
            part: reading.part ?? 'buildings',
            definitions: ['roads'],
            definition: 'roads',
          }),
        );
      },
    });
    await made.bring([file('county.gpkg'), file('zones.shp')]);
    const [{ id }] = made.items;
    expect(made.next(id)).toEqual({ part: 'roads' });
    made.another(id);
    await vi.waitFor(() => expect(made.ready).toHaveLength(3));
    expect(made.items.map((i) => i.bytes.name)).toEqual(['county.gpkg', 'county.gpkg', 'zones.shp']);
    expect(read).toEqual([undefined, undefined, 'roads']);
    expect(made.next(id)).toBeNull();
    const { entries, files } = accepted(made.ready.slice(0, 2), freshPlan('Test'), []);
    expect(entries.map((e) => [e.path, e.part])).toEqual([
      ['county.gpkg', 'buildings'],
      ['county.gpkg', 'roads'],
    ]);
    expect(files.map((f) => f.path)).toEqual(['county.gpkg']);
  });

  it('lists a raster once more for its next band', async () => {
    const { made } = intake({
      inspect: () =>
        ok(
          found({
            kind: 'raster',
            fields: ['Band 1', 'Band 2'],
            definitions: ['elevation'],
            definition: 'elevation',
          }),
        ),
    });
    await made.bring([file('climate.tif')]);
    const [{ id }] = made.items;
    expect(made.next(id)).toEqual({ band: 2 });
    made.another(id);
    await vi.waitFor(() => expect(made.ready).toHaveLength(2));
    expect(made.items.map((i) => i.entry.band)).toEqual([1, 2]);
    expect(made.next(id)).toBeNull();
  });

  it('hands files that stand beside another to the reader with it', async () => {
    const inspect = vi.fn(() => ok(found({})));
    const { made } = intake({ inspect });
    await made.bring([file('Zones.DBF'), file('zones.prj'), file('ZONES.shp'), file('other.csv')]);
    expect(made.items.map((i) => i.bytes.name)).toEqual(['ZONES.shp', 'other.csv']);
    const { bytes } = (
      inspect.mock.calls as unknown as Array<[{ bytes: Extract<Bytes, { kind: 'blob' }> }]>
    )[0][0];
    expect(bytes.beside?.map((b) => b.name)).toEqual(['Zones.DBF', 'zones.prj']);
    expect(made.ready).toHaveLength(2);
    expect(made.items[0].print).toEqual({ size: 9, sha256: 'a'.repeat(64) });
  });

  it('reads a file anew when its .prj comes after it', async () => {
    const { made } = intake({
      inspect: ({ bytes }) =>
        bytes.kind === 'blob' && bytes.beside?.some((b) => b.name === 'zones.prj')
          ? ok(found({}))
          : missingCrs('zones.shp', [700_000, 1_900_000, 704_000, 1_901_000]),
      systems: ({ coordinates, near }) =>
        ok([{ crs: 'EPSG:5070', title: 'NAD83 / Conus Albers', extent: near ?? coordinates, why: 'fits' }]),
    });
    await made.bring([file('zones.shp')]);
    expect(made.items[0].guesses?.map((g) => g.crs)).toEqual(['EPSG:5070']);
    expect(made.ready).toEqual([]);
    await made.bring([file('zones.prj')]);
    expect(made.items).toHaveLength(1);
    expect(made.ready).toHaveLength(1);
    expect(made.items[0].failure).toBeNull();
  });

  it('reads a file anew in the system that is accepted', async () => {
    const { made } = intake({
      inspect: ({ reading }) =>
        reading.crs ? ok(found({ crs: reading.crs })) : missingCrs('zones.shp', [0, 0, 9, 9]),
      systems: () => ok([]),
    });
    await made.bring([file('zones.shp')]);
    made.change(made.items[0].id, { crs: 'EPSG:26917' });
    await vi.waitFor(() => expect(made.items[0].inspection?.crs).toBe('EPSG:26917'));
  });

  it('drops the answer to an older choice', async () => {
    const waiting = new Map<string, () => void>();
    const { made } = intake({
      inspect: ({ reading }) =>
        new Promise((resolve) =>
          waiting.set(reading.part ?? '', () => resolve(ok(found({ part: reading.part ?? 'a' })))),
        ),
    });
    const brought = made.bring([file('all.gpkg')]);
    await vi.waitFor(() => expect(waiting.has('')).toBe(true));
    const [{ id }] = made.items;
    made.change(id, { part: 'b' });
    await vi.waitFor(() => expect(waiting.has('b')).toBe(true));
    waiting.get('b')?.();
    await vi.waitFor(() => expect(made.items[0].inspection?.part).toBe('b'));
    waiting.get('')?.();
    await brought;
    expect(made.items[0].inspection?.part).toBe('b');
  });

  it('forgets what was chosen for one part when another is', async () => {
    const { made } = intake({
      inspect: ({ reading }) =>
        ok(
          found({
            part: reading.part ?? 'zones',
            parts: [
              { name: 'zones', kind: 'polygon', count: 3 },
              { name: 'trails', kind: 'line', count: 2 },
            ],
            ...(reading.part === 'trails' ? { kind: 'line', definitions: ['roads'], definition: '' } : {}),
          }),
        ),
    });
    await made.bring([file('county.gpkg')]);
    made.change(made.items[0].id, { key: 'ZONE' });
    made.change(made.items[0].id, { part: 'trails' });
    await vi.waitFor(() => expect(made.items[0].inspection?.kind).toBe('line'));
    expect(made.items[0].entry).toMatchObject({ part: 'trails', definition: '' });
    expect(made.items[0].entry.key).toBeUndefined();
    // Nothing says what the trails are: the user has to.
    expect(made.ready).toEqual([]);
  });

  it('stops looking into a file when asked, and leaves it listed', async () => {
    const { made } = intake({
      inspect: async (_input, stopped) => {
        await stopped;
        return fail('cancelled', 'This work', 'was stopped', '');
      },
    });
    const brought = made.bring([file('big.csv')]);
    await vi.waitFor(() => expect(made.items[0].working).not.toBeNull());
    // The job starts after the fingerprint of nothing: wait until it can be stopped.
    await new Promise((r) => setTimeout(r, 0));
    made.stop(made.items[0].id);
    await brought;
    expect(made.items[0]).toMatchObject({ working: null, failure: { code: 'cancelled' } });
  });

  it('gives a missing file to its layer, with what stands beside it, and does not list it', async () => {
    const layer = { id: 'zones', definition: 'zones', path: 'zones.shp', size: 9, sha256: 'a'.repeat(64) };
    const { made, relinked } = intake({ inspect: () => ok(found({})) }, [layer as LayerEntry]);
    await made.bring([file('renamed.shp'), file('renamed.prj')]);
    expect(made.items).toEqual([]);
    expect(relinked).toEqual([{ layer: 'zones', checked: true, beside: ['renamed.prj'] }]);
  });

  it('lists another file of the same name and says what differs', async () => {
    const layer = { id: 'zones', definition: 'zones', path: 'zones.shp', size: 8, sha256: 'b'.repeat(64) };
    const { made, relinked } = intake({ inspect: () => ok(found({})) }, [layer as LayerEntry]);
    await made.bring([file('zones.shp')]);
    expect(relinked).toEqual([]);
    expect(made.items[0].instead).toMatchObject({
      layer: 'zones',
      what: expect.stringContaining('9 bytes') as string,
    });
  });

  it('says of a .prj alone that it belongs to another file', async () => {
    const { made } = intake({});
    await made.bring([file('lonely.prj')]);
    expect(made.items[0].failure?.what).toContain('another file of the same name');
  });

  it('hands photos on', async () => {
    const { made, photos } = intake({ inspect: () => ok(found({ format: 'Photo', kind: 'point' })) });
    await made.bring([file('oak.jpg')]);
    expect(made.items).toEqual([]);
    expect(photos.map((p) => p.bytes.name)).toEqual(['oak.jpg']);
  });

  it('reads a table through before it can be added, and again when its columns change', async () => {
    const sample = { columns: ['Lat', 'Across'], rows: [['40', '-91']], lines: [2], places: null };
    const table = found({ kind: 'table', definitions: ['candidates'], definition: 'candidates', sample });
    const { made } = intake({
      inspect: () => ok(table),
      survey: ({ entry }) =>
        entry.columns?.['lon'] === 'Across'
          ? ok({ rows: 6, usable: 5, extent: null, notes: [], offers: [], unsettled: [] })
          : fail('content', 'sheet.csv', 'the table has no column for longitude', 'Choose it.'),
    });
    await made.bring([file('sheet.csv')]);
    expect(made.items[0].failure?.what).toContain('no column for longitude');
    expect(made.ready).toEqual([]);
    made.change(made.items[0].id, { columns: { lon: 'Across' } });
    await vi.waitFor(() => expect(made.items[0].survey?.usable).toBe(5));
    expect(made.ready).toHaveLength(1);
  });
});
