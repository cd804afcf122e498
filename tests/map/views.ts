/** Views of the map for tests: one with everything on it, and seeded random ones. */
import { layerDefinition } from '../../layers/index.ts';
import type { Random } from '../../src/domain/base/rng.ts';
import type { MapView } from '../../src/map/view.ts';

const definition = (id: string): MapView['vectors'][number]['definition'] => {
  const found = layerDefinition(id);
  if (!found) throw new Error(`no definition ${id}`);
  return found;
};

/** Layers of every look, each with a Blob of its own. */
const VECTORS: MapView['vectors'] = [
  'native-range',
  'settings',
  'barrier',
  'buildings',
  'roads',
  'inventory',
  'zones',
].map((id) => ({ id, definition: definition(id), geojson: new Blob(['{}']), opacity: 1 }));

const RASTERS: MapView['rasters'] = [
  { id: 'elevation', style: 'relief', opacity: 1, revision: 'a', extent: [-83, 38, -82, 39] },
  { id: 'annual/rain?', style: 'values', opacity: 0.7, revision: 'b c', extent: [-83, 38, -82, 39] },
];

const tree = (row: number, label: string) => ({ row, label, lon: -82.5 + row / 100, lat: 38.5 });

export const FULL: MapView = {
  surface: { key: '3', least: 0.05, opacity: 0.7, extent: [-83, 38, -82, 39] },
  zoneShades: {
    geojson: new Blob(['{}']),
    shares: [0.4, -1, 0],
    labels: [{ lon: -82.4, lat: 38.4, text: '40 %' }],
    wash: true,
    chosen: 0,
  },
  scheme: 'light',
  units: 'us',
  basemap: null,
  rasters: RASTERS,
  vectors: VECTORS,
  outlines: [{ box: [-83, 38, -82, 39], title: 'UTM zone 17N', chosen: true }],
  homeZones: [2, 0],
  sites: [
    { lon: -82.5, lat: 38.5, title: 'Pasture', area: null, first: true },
    {
      lon: -82.45,
      lat: 38.52,
      title: 'Bottom field',
      area: [
        [
          [
            [-82.46, 38.51],
            [-82.44, 38.51],
            [-82.45, 38.53],
            [-82.46, 38.51],
          ],
        ],
      ],
      first: false,
    },
  ],
  drawing: {
    corners: [
      { lon: -82.5, lat: 38.5 },
      { lon: -82.49, lat: 38.5 },
    ],
    aim: { lon: -82.49, lat: 38.51 },
  },
  points: new Blob(['{}']),
  showRuledOut: true,
  members: [tree(1, '1'), tree(2, '2')].map((t, i) => ({ ...t, overridden: i === 1 })),
  reserves: [tree(5, 'A')],
  spacing: 402.336,
  route: {
    line: [tree(0, ''), tree(1, ''), tree(0, '')],
    start: tree(0, ''),
    end: tree(0, ''),
  },
  selected: tree(1, ''),
  hovered: { ...tree(2, ''), text: 'Oak' },
  evidence: {
    key: 'tree',
    lit: 'building',
    marks: [
      {
        kind: 'circle',
        pieces: ['developed100', 'cover'],
        label: '100 m',
        centre: { lon: -82, lat: 39 },
        metres: 100,
      },
      {
        kind: 'link',
        pieces: ['building'],
        label: '42 m',
        metres: 42,
        from: { lon: -82, lat: 39 },
        to: { lon: -82.0005, lat: 39 },
      },
    ],
  },
  stands: new Blob(['{}']),
  stand: [
    [
      [
        [-82.5, 38.5],
        [-82.49, 38.5],
        [-82.49, 38.51],
        [-82.5, 38.5],
      ],
    ],
  ],
  photos: [
    { lon: -82.5, lat: 38.5, direction: 120 },
    { lon: -82.51, lat: 38.5, direction: null },
  ],
  draft: { from: { lon: -82.5, lat: 38.5 }, place: { lon: -82.51, lat: 38.51 } },
  picking: false,
};

export const BARE: MapView = {
  ...FULL,
  surface: null,
  zoneShades: null,
  rasters: [],
  vectors: [],
  outlines: [],
  homeZones: [],
  sites: [],
  drawing: null,
  points: null,
  showRuledOut: false,
  members: [],
  reserves: [],
  route: null,
  selected: null,
  hovered: null,
  evidence: null,
  stands: null,
  stand: null,
  photos: [],
  draft: null,
};

/** Any part of FULL may be missing, changed, or in another order. */
export function randomView(random: Random): MapView {
  const often = (share: number): boolean => random() < share;
  const some = <T>(all: readonly T[]): T[] => all.filter(() => often(0.6)).sort(() => random() - 0.5);
  return {
    ...BARE,
    scheme: often(0.5) ? 'light' : 'dark',
    rasters: some(RASTERS).map((r) => ({
      ...r,
      opacity: often(0.5) ? 1 : 0.4,
      revision: often(0.7) ? 'a' : 'b',
    })),
    surface: often(0.5) && FULL.surface ? { ...FULL.surface, key: often(0.5) ? '3' : '4' } : null,
    zoneShades: often(0.4) ? FULL.zoneShades : null,
    vectors: some(VECTORS).map((v) => (often(0.8) ? v : { ...v, geojson: new Blob(['{}']) })),
    homeZones: some([0, 1, 2]),
    sites: some(FULL.sites),
    drawing: often(0.3) ? FULL.drawing : null,
    points: often(0.7) ? (often(0.7) ? FULL.points : new Blob(['{}'])) : null,
    showRuledOut: often(0.5),
    members: some(FULL.members),
    reserves: some(FULL.reserves),
    spacing: often(0.5) ? 400 : 100,
    route: often(0.4) ? FULL.route : null,
    selected: often(0.4) ? FULL.selected : null,
    hovered: often(0.4) ? FULL.hovered : null,
    evidence: often(0.4) ? FULL.evidence : null,
    stands: often(0.4) ? FULL.stands : null,
    stand: often(0.4) ? FULL.stand : null,
    photos: some(FULL.photos),
    draft: often(0.4) ? FULL.draft : null,
  };
}
