import { describe, expect, it } from 'vitest';
import type { MultiPolygon } from '../../../src/domain/base/geo.ts';
import { inverse, type Change } from '../../../src/domain/plan/change.ts';
import {
  addSites,
  dropOutline,
  leavesOutline,
  makeFirst,
  moveSite,
  nameSite,
  outlineSite,
  removeSite,
  replaceSites,
  siteOf,
} from '../../../src/domain/plan/changeSites.ts';
import { freshPlan, freshPlanting } from '../../../src/domain/plan/fresh.ts';
import { parsePlan } from '../../../src/domain/plan/parse.ts';
import type { Plan, Site } from '../../../src/domain/plan/schema.ts';
import { sitesOf, siteTitle } from '../../../src/domain/plan/sites.ts';

/** A horseshoe open to the north, whose middle is not in it: 0.03 degrees wide. */
const HORSESHOE: MultiPolygon = [
  [
    [
      [-82.4, 39],
      [-82.37, 39],
      [-82.37, 39.03],
      [-82.38, 39.03],
      [-82.38, 39.01],
      [-82.39, 39.01],
      [-82.39, 39.03],
      [-82.4, 39.03],
      [-82.4, 39],
    ],
  ],
];
const start = (name = ''): Plan => ({
  ...freshPlan('Test'),
  plantings: [freshPlanting('p', 'Planting', 'Quercus alba', { lon: -82, lat: 39, name }, [])],
});
const sites = (c: Change): readonly Site[] => sitesOf(c.after.plantings[0]);
const point = (name: string, lon: number): Site => ({ name, lon, lat: 39 });
const three = (): Plan => addSites(start('Field'), 'p', [point('Bench', -82.1), point('', -82.2)]).after;

describe('the sites of a planting', () => {
  it('are called by their names, by number where they have none, and plainly where there is one', () => {
    expect(siteTitle(start().plantings[0], 0)).toBe('Planting site');
    expect([0, 1, 2].map((i) => siteTitle(three().plantings[0], i))).toEqual(['Field', 'Bench', 'Site 3']);
  });

  it('are added in one step and taken back in one, with a note in words', () => {
    const before = start('Field');
    const one = addSites(before, 'p', [point('Bench', -82.1)]);
    expect(one.note).toBe('Add Bench');
    const two = addSites(before, 'p', [point('', -82.1), point('', -82.2)]);
    expect([two.note, sites(two).length]).toEqual(['Add 2 sites', 3]);
    expect(addSites(before, 'p', [point('', -82.1)]).note).toBe('Add a site');
    expect(inverse(two).after).toBe(before);
  });

  it('give way to others, the first of them first', () => {
    const change = replaceSites(three(), 'p', [point('Ridge', -83), point('Knob', -84)]);
    expect(sites(change).map((s) => s.name)).toEqual(['Ridge', 'Knob']);
    expect(change.note).toBe('Plant at 2 sites');
  });

  it('keep their order when another becomes the first, and one of them always stays', () => {
    const first = makeFirst(three(), 'p', 2);
    expect(first.note).toBe('Make Site 3 the first');
    expect(sites(first).map((s) => s.lon)).toEqual([-82.2, -82, -82.1]);
    const removed = removeSite(three(), 'p', 0);
    expect([removed.note, ...sites(removed).map((s) => s.name)]).toEqual(['Remove Field', 'Bench', '']);
    expect(sites(removeSite(start(), 'p', 0))).toHaveLength(1);
  });

  it('are named', () => {
    const change = nameSite(three(), 'p', 1, '  Top of the bench ');
    expect(sites(change).map((s) => s.name)).toEqual(['Field', 'Top of the bench', '']);
  });
});

describe('a site that is an area', () => {
  const drawn = outlineSite(three(), 'p', 1, HORSESHOE);
  const site = sites(drawn)[1];

  it('keeps its name, and the point that stands for it lies inside', () => {
    expect(drawn.note).toBe('Draw the outline of Bench');
    expect(site.name).toBe('Bench');
    expect(site.area).toEqual(HORSESHOE);
    expect(leavesOutline(site, site)).toBe(false);
    // The middle of its box is in the bay.
    expect(leavesOutline(site, { lon: -82.385, lat: 39.015 })).toBe(true);
  });

  it('keeps its outline while its point is moved inside, and is a point once that is set outside', () => {
    const within = moveSite(drawn.after, 'p', 1, { lon: -82.375, lat: 39.02 });
    expect([within.note, sites(within)[1].area]).toEqual(['Move Bench', HORSESHOE]);
    const outside = moveSite(drawn.after, 'p', 1, { lon: -82.385, lat: 39.02 });
    expect(outside.note).toBe('Move Bench and drop its outline');
    expect(sites(outside)[1]).toEqual({ name: 'Bench', lon: -82.385, lat: 39.02 });
    expect(inverse(outside).after).toBe(drawn.after);
  });

  it('becomes the point that stood for it', () => {
    const change = dropOutline(drawn.after, 'p', 1);
    expect(change.note).toBe('Drop the outline of Bench');
    expect(sites(change)[1]).toEqual({ name: 'Bench', lon: site.lon, lat: site.lat });
  });

  it('is kept to a centimetre and fits the plan file', () => {
    const made = siteOf({ name: 'Odd', place: { lon: -82.123456789, lat: 39.000000049 }, area: null });
    expect(made).toEqual({ name: 'Odd', lon: -82.1234568, lat: 39 });
    const plan = drawn.after;
    const read = parsePlan(JSON.parse(JSON.stringify(plan)), 'plan.json');
    expect(read.ok && read.value.plantings[0].moreSites).toEqual(plan.plantings[0].moreSites);
  });

  it('is none without ground in it', () => {
    expect(
      siteOf({
        name: '',
        place: null,
        area: [
          [
            [
              [0, 0],
              [1, 0],
              [0, 0],
            ],
          ],
        ],
      }),
    ).toBeNull();
    expect(() => outlineSite(three(), 'p', 1, [])).toThrow('without area');
  });
});
