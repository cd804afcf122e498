import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import type { ZoneMatch } from '../../../src/domain/vetting/match/types.ts';
import {
  sortZones,
  zoneRanking,
  zoneTable,
  type VettedCandidates,
  type ZoneColumn,
  type ZoneRow,
  type ZoneTable,
} from '../../../src/domain/vetting/zoneRanking.ts';

const BINS = 1000;

interface Cell {
  readonly zone: number;
  readonly km2: number;
  /** NaN: a variable is missing. */
  readonly match: number;
}

/** Histograms as the ranking has them: bin b holds b/1000 <= match < (b + 1)/1000, 1 in the last. */
function summed(cells: readonly Cell[], zones: number): ZoneMatch {
  return {
    bins: BINS,
    step: 1,
    cellMetres: 100,
    zones: Array.from({ length: zones }, (_, zone) => {
      const own = cells.filter((c) => c.zone === zone);
      const known = own.filter((c) => !Number.isNaN(c.match));
      const histogram = new Float64Array(BINS);
      for (const c of known) histogram[Math.min(BINS - 1, Math.floor(c.match * BINS))] += c.km2;
      return {
        zone,
        km2: total(own),
        knownKm2: total(known),
        histogram,
        best: known.length === 0 ? NaN : Math.max(...known.map((c) => c.match)),
        bestPlace: known.length === 0 ? null : { lon: -83 + zone, lat: 39 },
        km: 10 * zone,
      };
    }),
  };
}
const total = (cells: readonly Cell[]): number => cells.reduce((sum, c) => sum + c.km2, 0);

const four: ZoneTable = {
  keys: ['1', '2', '10', '3'],
  names: ['Zone 1', 'Zone 2', 'Zone 10', 'Zone 3'],
  adjacency: {
    pairs: [
      { a: 0, b: 1, contact: 'edge', sharedMetres: 900 },
      { a: 0, b: 2, contact: 'corner', sharedMetres: 0 },
      { a: 1, b: 3, contact: 'edge', sharedMetres: 50 },
    ],
  },
  homes: [0],
};
const empty = summed([], 4);
const contacts = (table: ZoneTable) => zoneRanking(empty, table, 0.05, null).map((r) => r.contact);

describe('ground over a threshold', () => {
  it('is that of the cells themselves at every step of a thousandth', () => {
    const seed = 20_261;
    const random = rng(seed);
    // In the middle between two steps, and on a step itself.
    const cells = Array.from({ length: 900 }, (_, i): Cell => ({
      zone: i % 3,
      km2: 0.01 + random() / 10,
      match: i % 11 === 0 ? NaN : Math.floor(random() * 1001) / 1000 + (i % 2) * 0.0004,
    })).map((c) => ({ ...c, match: Math.min(1, c.match) }));
    const match = summed(cells, 3);
    for (const least of [0, 0.001, 0.05, 0.123, 0.5, 0.77, 0.999]) {
      const rows = zoneRanking(match, { ...four, homes: [] }, least, null);
      for (const row of rows) {
        const own = cells.filter((c) => c.zone === row.zone && !Number.isNaN(c.match));
        const over = total(own.filter((c) => c.match >= least - 1e-9));
        expect(row.overKm2, `seed ${seed}, zone ${row.zone}, ${least}`).toBeCloseTo(over, 9);
        expect(row.share).toBeCloseTo(over / total(own), 9);
        expect(row.best).toBe(Math.max(...own.map((c) => c.match)));
      }
    }
  });

  it('by hand: 3 of 4 km², the fourth unknown ground', () => {
    const [row] = zoneRanking(
      summed(
        [
          { zone: 0, km2: 2, match: 0.05 },
          { zone: 0, km2: 1, match: 1 },
          { zone: 0, km2: 1, match: 0.0499 },
          { zone: 0, km2: 1, match: NaN },
        ],
        1,
      ),
      four,
      0.05,
      null,
    );
    expect(row).toMatchObject({ km2: 5, knownKm2: 4, overKm2: 3, share: 0.75, best: 1, km: 0, key: '1' });
  });

  it('the threshold 1 takes what is as good as no difference', () => {
    const match = summed(
      [
        { zone: 0, km2: 1, match: 1 },
        { zone: 0, km2: 1, match: 0.5 },
      ],
      1,
    );
    expect(zoneRanking(match, four, 1, null)[0].overKm2).toBe(1);
  });

  it('a zone without a cell that has a match has no share, not one of nothing', () => {
    const [row] = zoneRanking(summed([{ zone: 0, km2: 3, match: NaN }], 1), four, 0.05, null);
    expect(row).toMatchObject({ km2: 3, knownKm2: 0, overKm2: 0, bestPlace: null });
    expect(row.share).toBeNaN();
    expect(row.best).toBeNaN();
  });
});

describe('contact with the home zone', () => {
  it('is an edge, a corner or neither', () => {
    expect(contacts(four)).toEqual(['home', 'adjacent', 'corner', 'other']);
  });

  it('with several sites is that to the farthest of their zones', () => {
    expect(contacts({ ...four, homes: [0, 1] })).toEqual(['adjacent', 'adjacent', 'other', 'other']);
    expect(contacts({ ...four, homes: [1, 1] })).toEqual(['adjacent', 'home', 'other', 'adjacent']);
  });

  it('is not known where the site is in no zone, or where neighbours are not told', () => {
    expect(contacts({ ...four, homes: [] })).toEqual(['unknown', 'unknown', 'unknown', 'unknown']);
    expect(contacts({ ...four, adjacency: null })).toEqual(['home', 'unknown', 'unknown', 'unknown']);
  });

  it('comes from a vetting without the sites outside all zones', () => {
    const site = { lon: 0, lat: 0, name: '', elevation: NaN, reading: null };
    const zones = { keys: four.keys, names: four.names, adjacency: null };
    expect(
      zoneTable({
        zones,
        sites: [
          { ...site, zone: 2 },
          { ...site, zone: -1 },
        ],
      }).homes,
    ).toEqual([2]);
  });
});

describe('candidates', () => {
  const vetted: VettedCandidates = {
    vetting: {
      measures: { zone: Int32Array.of(0, 0, 1, -1, 0, 2) },
      // Eligible, needs a check, eligible, eligible, eligible, ruled out.
      standing: Uint8Array.of(0, 1, 0, 0, 0, 2),
    },
    candidates: { n: 6, species: Int16Array.of(7, 7, 7, 7, 8, 7) },
    species: 7,
  };

  it('of the species are counted in their zones, eligible ones apart; others and those outside are not', () => {
    const rows = zoneRanking(empty, four, 0.05, vetted);
    expect(rows.map((r) => [r.candidates, r.eligible])).toEqual([
      [2, 1],
      [1, 1],
      [1, 0],
      [0, 0],
    ]);
  });

  it('are not known before there is a vetting', () => {
    for (const row of zoneRanking(empty, four, 0.05, null)) {
      expect(row.candidates).toBeNaN();
      expect(row.eligible).toBeNaN();
    }
  });
});

describe('order', () => {
  const row = (part: Partial<ZoneRow>): ZoneRow => ({
    zone: 0,
    key: '',
    name: '',
    contact: 'other',
    km2: 1,
    knownKm2: 1,
    overKm2: 0,
    share: 0,
    best: 0,
    bestPlace: null,
    candidates: 0,
    eligible: 0,
    km: 0,
    ...part,
  });
  const names = (rows: readonly ZoneRow[], by: ZoneColumn, order: 'up' | 'down'): string[] =>
    sortZones(rows, by, order).map((r) => r.name);

  it('is that of the column, ties by name with 2 before 10, what is not known last either way', () => {
    const rows = [
      row({ name: 'Zone 10', share: 0.5 }),
      row({ name: 'Zone 1', share: NaN }),
      row({ name: 'Zone 2', share: 0.5 }),
      row({ name: 'Zone 3', share: 0.9 }),
    ];
    expect(names(rows, 'share', 'down')).toEqual(['Zone 3', 'Zone 2', 'Zone 10', 'Zone 1']);
    expect(names(rows, 'share', 'up')).toEqual(['Zone 2', 'Zone 10', 'Zone 3', 'Zone 1']);
    expect(names(rows, 'name', 'down')).toEqual(['Zone 10', 'Zone 3', 'Zone 2', 'Zone 1']);
    expect(rows.map((r) => r.name)[0]).toBe('Zone 10');
  });

  it('of contacts runs from the home zone outwards', () => {
    const rows = (['unknown', 'other', 'home', 'corner', 'adjacent'] as const).map((contact) =>
      row({ name: contact, contact }),
    );
    expect(names(rows, 'contact', 'up')).toEqual(['home', 'adjacent', 'corner', 'other', 'unknown']);
    expect(names(rows, 'contact', 'down')).toEqual(['other', 'corner', 'adjacent', 'home', 'unknown']);
  });
});
