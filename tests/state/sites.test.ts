/** Work on the sites of a planting as the screen does it: every gesture one step that can be taken back. */
import { describe, expect, it } from 'vitest';
import type { MultiPolygon } from '../../src/domain/base/geo.ts';
import { missingCrs, ok } from '../../src/domain/base/result.ts';
import { addPlanting } from '../../src/domain/plan/change.ts';
import { freshPlan, freshPlanting } from '../../src/domain/plan/fresh.ts';
import { sitesOf } from '../../src/domain/plan/sites.ts';
import type { SiteOutlines } from '../../src/jobs/protocol.ts';
import { PlanDocument } from '../../src/state/document.svelte.ts';
import { SiteFileState } from '../../src/state/siteFile.svelte.ts';
import { SiteWork } from '../../src/state/sites.svelte.ts';
import { fakeJobs, type Answers } from './fakeWorker.ts';

const square = (west: number): MultiPolygon => [
  [
    [
      [west, 39],
      [west + 0.01, 39],
      [west + 0.01, 39.01],
      [west, 39.01],
      [west, 39],
    ],
  ],
];
const at = (lon: number, lat: number) => ({ lon, lat });
const found = (names: string[]): SiteOutlines => ({
  file: 'fields.shp',
  kind: 'polygon',
  crs: 'EPSG:26917',
  outlines: names.map((name, i) => ({
    texts: [name, `owner ${i}`],
    area: square(-82 + i),
    place: at(-81.995 + i, 39.005),
    squareMetres: 1,
  })),
  count: names.length,
  fields: ['NAME', 'OWNER'],
  named: 0,
  parts: [],
  part: '',
  offers: [],
  extent: null,
  notes: [],
});

function workspace(answers: Answers = {}) {
  const document = new PlanDocument();
  document.replace(
    addPlanting(
      freshPlan('Test'),
      freshPlanting('p', 'Planting', 'Quercus alba', { lon: -83, lat: 39, name: 'Field' }, []),
    ).after,
  );
  const said: string[] = [];
  const say = (text: string): void => void said.push(text);
  const planting = () => document.plan.plantings[0] ?? null;
  const file = new SiteFileState({ jobs: fakeJobs(answers), near: () => null, box: () => null, say });
  const work = new SiteWork({
    plan: () => document.plan,
    planting,
    apply: (change) => document.apply(change),
    say,
    file,
  });
  return { document, work, said, file, sites: () => sitesOf(planting()) };
}

describe('a site', () => {
  it('is added by a click and unfolded, moved by another, and each is one step', () => {
    const { document, work, sites } = workspace();
    work.put('new', at(-82, 39));
    expect([sites().length, work.open, document.undoNote]).toEqual([2, 1, 'Add a site']);
    work.put(1, at(-81, 39));
    expect([sites()[1].lon, document.undoNote]).toEqual([-81, 'Move Site 2']);
    document.undo();
    document.undo();
    expect(sites().map((s) => s.lon)).toEqual([-83]);
  });

  it('that is set outside its outline says that it is a point now, and undo brings the outline back', () => {
    const { document, work, said, sites } = workspace();
    work.outline(0, square(-82));
    work.put(0, at(-81.998, 39.002));
    expect([sites()[0].area, said]).toEqual([square(-82), []]);
    work.put(0, at(-81, 39));
    expect(sites()[0].area).toBeUndefined();
    expect(said).toEqual([
      'Field is a point now: the place lies outside its outline. Undo brings the outline back.',
    ]);
    document.undo();
    expect(sites()[0].area).toEqual(square(-82));
  });

  it('that becomes the first is unfolded there, and one that is removed gives way to its neighbour', () => {
    const { work, sites } = workspace();
    work.put('new', at(-82, 39));
    work.put('new', at(-81, 39));
    work.makeFirst(2);
    expect([sites().map((s) => s.lon), work.open]).toEqual([[-81, -83, -82], 0]);
    work.remove(2);
    expect([sites().map((s) => s.lon), work.open]).toEqual([[-81, -83], 1]);
  });
});

describe('an outline', () => {
  const drawn = (work: SiteWork, ...corners: [number, number][]) => {
    for (const [x, y] of corners) work.drawing?.add(at(-82 + x / 1000, 39 + y / 1000));
    return work.drawing;
  };

  it('is drawn corner by corner and becomes that of its site when it is closed', () => {
    const { document, work, sites } = workspace();
    work.startDrawing(0);
    const drawing = drawn(work, [0, 0], [10, 0], [10, 10]);
    expect(work.drawn).toBe('Field');
    expect(sites()[0].area).toBeUndefined();
    // About 0.86 km by 1.11 km, halved; the pointer at the fourth corner makes it whole.
    expect(drawing?.squareMetres).toBeGreaterThan(450_000);
    if (drawing) drawing.aim = at(-82, 39.01);
    expect(drawing?.squareMetres).toBeGreaterThan(900_000);
    // Where no corner could be set, the pointer adds nothing.
    if (drawing) drawing.aim = at(-81.995, 38.99);
    expect(drawing?.squareMetres).toBeLessThan(500_000);
    expect(work.closeDrawing()).toBe(true);
    expect([work.drawing, document.undoNote]).toEqual([null, 'Draw the outline of Field']);
    expect(sites()[0].area?.[0][0]).toHaveLength(4);
    expect(sites()[0].name).toBe('Field');
    document.undo();
    expect(sites()[0]).toEqual({ name: 'Field', lon: -83, lat: 39 });
  });

  it('refuses a corner whose side would cross another, and to close with too few, with a sentence', () => {
    const { document, work } = workspace();
    work.startDrawing('new');
    expect(work.drawn).toBe('a new site');
    const drawing = drawn(work, [0, 0], [10, 0]);
    expect(work.closeDrawing()).toBe(false);
    expect(drawing?.refused).toContain('three corners');
    drawn(work, [10, 10], [5, -5]);
    expect(drawing?.corners).toHaveLength(3);
    expect(drawing?.refused).toContain('cross');
    drawing?.back();
    expect([drawing?.corners.length, drawing?.refused]).toEqual([2, '']);
    work.stopDrawing();
    expect(document.undoNote).toBeNull();
  });

  it('whose site was taken out meanwhile is not lost: it becomes a new one', () => {
    const { document, work, sites } = workspace();
    work.put('new', at(-82, 39));
    work.startDrawing(1);
    drawn(work, [0, 0], [10, 0], [10, 10]);
    document.undo();
    work.closeDrawing();
    expect(sites().map((s) => s.area !== undefined)).toEqual([false, true]);
  });
});

describe('a file with outlines', () => {
  const file = (name: string): File => new File(['x'], name);

  it('is read with what stands beside it, and the chosen ones become sites in one step, named by the field', async () => {
    const read: string[][] = [];
    const {
      document,
      work,
      file: state,
      sites,
    } = workspace({
      siteOutlines: ({ bytes }) => {
        if (bytes.kind === 'blob') read.push([bytes.name, ...(bytes.beside ?? []).map((b) => b.name)]);
        return ok(found(['Bench', '', 'Knob']));
      },
    });
    await state.bring([file('fields.prj'), file('fields.shp'), file('fields.dbf')]);
    expect(read).toEqual([['fields.shp', 'fields.prj', 'fields.dbf']]);
    expect(state.chosen.size).toBe(0);
    state.choose(2, true);
    state.choose(1, true);
    expect(state.sites.map((s) => s.name)).toEqual(['fields 2', 'Knob']);
    work.add(state.sites);
    expect([sites().length, document.undoNote, work.open]).toEqual([3, 'Add 2 sites', 1]);
    state.named = 1;
    work.replace(state.sites);
    expect(sites().map((s) => s.name)).toEqual(['owner 1', 'owner 2']);
    document.undo();
    document.undo();
    expect(sites()).toHaveLength(1);
  });

  it('with one outline needs no choosing', async () => {
    const { file: state } = workspace({ siteOutlines: () => ok(found([''])) });
    await state.bring([file('pasture.kml')]);
    expect(state.sites.map((s) => s.name)).toEqual(['pasture']);
  });

  it('that does not say its coordinate system asks for it and is read anew with the answer', async () => {
    const { file: state } = workspace({
      siteOutlines: ({ reading }) =>
        reading.crs === 'EPSG:26917' ? ok(found(['Bench'])) : missingCrs('fields.shp', [4e5, 4e6, 5e5, 5e6]),
      systems: () => ok([{ crs: 'EPSG:26917', title: 'UTM 17N', extent: [-82, 39, -81, 40], why: '' }]),
    });
    await state.bring([file('fields.shp')]);
    expect(state.failure?.code).toBe('crs');
    expect(state.guesses?.map((g) => g.crs)).toEqual(['EPSG:26917']);
    await state.change({ crs: 'EPSG:26917' });
    expect([state.failure, state.found?.outlines.length]).toEqual([null, 1]);
  });

  it('gives way to the next one: a late answer for the first is dropped', async () => {
    let answer: (() => void) | undefined;
    const { file: state } = workspace({
      siteOutlines: ({ bytes }) =>
        bytes.name === 'slow.kml'
          ? new Promise((resolve) => (answer = () => resolve(ok(found(['Slow'])))))
          : ok(found(['Quick'])),
    });
    const slow = state.bring([file('slow.kml')]);
    await state.bring([file('quick.kml')]);
    answer?.();
    await slow;
    expect([state.name, state.sites.map((s) => s.name)]).toEqual(['quick.kml', ['Quick']]);
  });
});
