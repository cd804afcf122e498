import { expect, it } from 'vitest';
import type { ZoneRow } from '../../../src/domain/vetting/zoneRanking.ts';
import { zonesCsv, zonesGeojson } from '../../../src/io/write/zoneRanking.ts';

const rows: ZoneRow[] = [
  {
    zone: 1,
    key: '=2+3',
    name: 'Upper "Notion", east',
    contact: 'adjacent',
    km2: 1234.56789,
    knownKm2: 1200,
    overKm2: 300,
    share: 0.25,
    best: 0.987654321,
    bestPlace: { lon: -83.123456789, lat: 39 },
    candidates: 12,
    eligible: 0,
    km: 14.83216,
  },
  {
    zone: 0,
    key: '-7',
    name: '@hill',
    contact: 'unknown',
    km2: 2,
    knownKm2: 0,
    overKm2: 0,
    share: NaN,
    best: NaN,
    bestPlace: null,
    candidates: NaN,
    eligible: NaN,
    km: 0,
  },
];
const square = (west: number) => [
  [
    [
      [west, 39],
      [west, 40],
      [west + 1, 40],
      [west + 1, 39],
      [west, 39],
    ] as const,
  ],
];

it('a row a zone in the order given, units in the names, unknown fields empty, no text a formula, the notice told', () => {
  expect(zonesCsv(rows, 0.05, 'Invented.').split('\r\n')).toEqual([
    'zone,name,contact,match_at_least,share_over,over_km2,known_km2,area_km2,best_match,best_lon,best_lat,eligible,candidates,to_site_km,notice',
    `'=2+3,"Upper ""Notion"", east",adjacent,0.05,0.25,300,1200,1234.57,0.987654,-83.1234568,39,0,12,14.8322,Invented.`,
    `'-7,'@hill,unknown,0.05,,0,0,2,,,,,,0,Invented.`,
    '',
  ]);
  expect(zonesCsv(rows, 0.05, '').split('\r\n')[0]).not.toContain('notice');
});

it('outlines of the zones carry the same, keys as they are; rings run as RFC 7946 has them', () => {
  const { features } = JSON.parse(zonesGeojson(rows, [square(-84), square(-83)], 0.05, 'Invented.')) as {
    features: Array<{
      id: string;
      properties: Record<string, unknown>;
      geometry: { type: string; coordinates: number[][][] };
    }>;
  };
  expect(features.map((f) => f.id)).toEqual(['=2+3', '-7']);
  expect(features[0].properties).toMatchObject({ share_over: 0.25, area_km2: 1234.57, notice: 'Invented.' });
  expect(features[1].properties).toMatchObject({ share_over: null, best_lon: null, candidates: null });
  expect(features[0].geometry).toEqual({
    type: 'Polygon',
    coordinates: [
      [
        [-83, 39],
        [-82, 39],
        [-82, 40],
        [-83, 40],
        [-83, 39],
      ],
    ],
  });
});
