/** What the evidence on one candidate was read from: the same layers, by the same functions as measure.ts. */
import type { Line, MultiPolygon, Place } from '../../domain/base/geo.ts';
import { frameMetres, localFrame } from '../../domain/base/localFrame.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { matchRadius } from '../../domain/candidates/inventory.ts';
import { groups } from '../../domain/candidates/pattern/groups.ts';
import { LEAST_TREES } from '../../domain/candidates/pattern/types.ts';
import { rangesOf } from '../../domain/candidates/rangeDistance.ts';
import { areaBox } from '../../domain/layers/areaBox.ts';
import { areaIndex } from '../../domain/layers/areaIndex.ts';
import { areaShapes, footOf, nearest, type ShapeIndex } from '../../domain/layers/nearest.ts';
import { nearPart } from '../../domain/layers/nearPart.ts';
import { halfWidth } from '../../domain/layers/roads.ts';
import { SETTINGS, settingOfArea } from '../../domain/layers/settings.ts';
import type { EvidenceMark } from '../../domain/vetting/origin/marks.ts';
import type { Jobs } from '../protocol.ts';
import { editedCandidates } from './candidates.ts';
import { coverCells } from './coverCells.ts';
import { followPlan, layersOf, type Desk } from './desk.ts';
import { inventoryAt } from './inventoryAt.ts';
import { NEAR_BUILDINGS_METRES, REACH_METRES } from './reach.ts';
import { roadsAt } from './roadsAt.ts';
import { shapesOf } from './shapesOf.ts';

/** The road is drawn this far, metres. */
const ROAD_METRES = 300;
/** An edge of the native range, an entry of a list further away than this are not drawn, metres. */
const EDGE_METRES = 5000;
const ENTRY_METRES = 500;

/** Marks beneath others come first. A failure: the candidate is not there, or a raster cannot be read. */
export async function drawEvidence(
  desk: Desk,
  { plan, candidate }: Jobs['drawEvidence']['input'],
): Promise<Result<Jobs['drawEvidence']['output']>> {
  followPlan(desk, plan.layers);
  const joined = editedCandidates(desk, plan.candidates);
  if (!joined.ok) return joined;
  const { candidates } = joined.value;
  const row = candidates.id.indexOf(candidate);
  if (row < 0)
    return fail(
      'content',
      candidate,
      'is not among the candidates that are open',
      'Choose another candidate.',
    );
  const tree = { lon: candidates.lon[row], lat: candidates.lat[row] };
  if (!Number.isFinite(tree.lon + tree.lat)) return ok([]);
  const ground = await groundMarks(desk, tree);
  if (!ground.ok) return ground;
  return ok([
    ...ground.value,
    ...settingMarks(desk, tree),
    ...rangeMarks(desk, tree, candidates.species[row]),
    ...buildingMarks(desk, tree),
    ...roadMarks(desk, candidates, row),
    ...groupMarks(candidates, row, plan.evidence.link),
    ...inventoryMarks(desk, candidates, row),
  ]);
}

/** The trees that stand with this one, and the way to its two nearest. */
function groupMarks(candidates: Candidates, row: number, link: number): EvidenceMark[] {
  const first = candidates.duplicateOf[row] < 0 ? row : candidates.duplicateOf[row];
  const group = groups(candidates, link, first).find(({ rows }) => rows.includes(first));
  if (!group || group.rows.length < LEAST_TREES) return [];
  const place = (i: number): Place => ({ lon: candidates.lon[i], lat: candidates.lat[i] });
  const tree = place(first);
  const away = (i: number): number => frameMetres(tree.lon, tree.lat, candidates.lon[i], candidates.lat[i]);
  const two = [...group.rows]
    .filter((i) => i !== first)
    .sort((a, b) => away(a) - away(b))
    .slice(0, 2);
  const pieces = ['pattern', 'diameters'];
  return [
    ...lines(
      two.map((i) => [at(tree), at(place(i))]),
      pieces,
      '',
    ),
    {
      kind: 'trees',
      pieces,
      label: '',
      rows: group.rows,
      places: Array.from(group.rows, place),
      joined: false,
    },
  ];
}

async function groundMarks(desk: Desk, tree: Place): Promise<Result<EvidenceMark[]>> {
  const read = await coverCells(layersOf(desk, 'land-cover'), tree, 100);
  if (!read.ok) return read;
  if (!read.value) return ok([]);
  const { counted, grounds } = read.value;
  const circle = (metres: number, pieces: readonly string[]): EvidenceMark => ({
    kind: 'circle',
    pieces,
    label: '',
    centre: tree,
    metres,
  });
  return ok([
    ...grounds.map(({ ground, cells, rings, middle }): EvidenceMark => ({
      kind: 'ground',
      pieces: ['developed100', 'cover'],
      label: ground ?? 'counts as nothing',
      ground,
      cells,
      share: ground === null ? 0 : cells / counted,
      geometry: rings.map((ring) => [ring]),
      at: middle,
    })),
    circle(100, ['developed100', 'cover', 'buildings100']),
    circle(500, ['developed500']),
  ]);
}

function settingMarks(desk: Desk, { lon, lat }: Place): EvidenceMark[] {
  const about = layersOf(desk, 'settings')
    .flatMap(({ opened: { content } }) => (content.kind === 'polygon' ? content.features : []))
    .filter(({ geometry }) => {
      const [west, south, east, north] = areaBox(geometry);
      return lon >= west && lon <= east && lat >= south && lat <= north;
    })
    .filter(({ attributes }) => settingOfArea(attributes) >= 0);
  const held = areaIndex(about.map((a) => a.geometry)).areaOf(lon, lat);
  return (held < 0 ? [] : [about[held]]).map(({ geometry, attributes }) =>
    area(geometry, ['setting', 'ageBurialGround'], SETTINGS[settingOfArea(attributes)]),
  );
}

function buildingMarks(desk: Desk, tree: Place): EvidenceMark[] {
  const buildings = shapesOf(desk, 'buildings', 'polygon');
  if (!buildings) return [];
  const about: number[] = [];
  const { metres, which, segment } = nearestTo(buildings.index, tree, {
    within: NEAR_BUILDINGS_METRES,
    reach: REACH_METRES,
    counted: (shape) => about.push(shape),
  });
  if (which < 0) return [];
  const { features } = buildings;
  return [
    ...about
      .filter((shape) => shape !== which)
      .map((shape) => area(features[shape].geometry, ['buildings100'])),
    area(features[which].geometry, [
      'building',
      'ageDeveloped',
      ...(about.includes(which) ? ['buildings100'] : []),
    ]),
    ...link(tree, footIn(buildings.index, segment, tree), metres, ['building'], 'building'),
  ];
}

function roadMarks(desk: Desk, candidates: Candidates, row: number): EvidenceMark[] {
  const roads = roadsAt(desk, candidates);
  if (!roads) return [];
  const { near, rows, features, index } = roads;
  const shape = near.which[row];
  if (shape < 0) return [];
  const tree = { lon: candidates.lon[row], lat: candidates.lat[row] };
  const middle = footIn(index, near.segment[row], tree);
  const edge = Math.max(0, near.metres[row] - halfWidth(features[shape].attributes));
  const part = edge / near.metres[row];
  const foot = {
    lon: tree.lon + part * (middle.lon - tree.lon),
    lat: tree.lat + part * (middle.lat - tree.lat),
  };
  const own = rows.rows[rows.row[row]] as readonly number[] | undefined;
  return [
    ...lines(nearPart(features[shape].lines, tree, ROAD_METRES), ['road', 'roadRow'], ''),
    ...(own
      ? [
          {
            kind: 'trees' as const,
            pieces: ['roadRow'],
            label: '',
            rows: Int32Array.from(own),
            places: own.map((i) => ({ lon: candidates.lon[i], lat: candidates.lat[i] })),
            joined: true,
          },
        ]
      : []),
    ...link(tree, foot, edge, ['road'], 'road edge'),
  ];
}

function inventoryMarks(desk: Desk, candidates: Candidates, row: number): EvidenceMark[] {
  const listed = inventoryAt(desk, candidates);
  const entry = listed?.entries[listed.entry[row]];
  const metres = listed?.inventory[row] ?? Infinity;
  if (!entry || !(metres <= ENTRY_METRES)) return [];
  const tree = { lon: candidates.lon[row], lat: candidates.lat[row] };
  const place = { lon: entry.lon, lat: entry.lat };
  const radius = matchRadius(candidates.accuracy[row]);
  const pieces = ['inventory'];
  return [
    ...(radius > 0 ? [{ kind: 'circle' as const, pieces, label: '', centre: tree, metres: radius }] : []),
    { kind: 'spot', pieces, label: '', place },
    ...link(tree, place, metres, pieces, 'listed tree'),
  ];
}

function rangeMarks(desk: Desk, tree: Place, species: number): EvidenceMark[] {
  const range = species < 0 ? null : rangeOf(desk, species);
  if (!range) return [];
  // Inside as well the edge is what is looked at.
  const edge = nearestTo({ ...range.index, inside: null }, tree, {});
  if (!(edge.metres <= EDGE_METRES)) return [];
  const inside = (range.index.inside?.areaOf(tree.lon, tree.lat) ?? -1) >= 0;
  return [
    ...lines(
      nearPart(range.outlines, tree, 2 * edge.metres + REACH_METRES),
      ['range'],
      'edge of the native range',
    ),
    ...(inside
      ? []
      : link(tree, footIn(range.index, edge.segment, tree), edge.metres, ['range'], 'native range')),
  ];
}

interface Range {
  readonly index: ShapeIndex;
  readonly outlines: readonly Line[];
}

/** The native range of a species; null where no layer has it. */
function rangeOf(desk: Desk, species: number): Range | null {
  const name = `shapes of the native range ${species}`;
  const held = desk.memo.get(name) as Range | null | undefined;
  if (held !== undefined) return held;
  const features = layersOf(desk, 'native-range').flatMap(({ opened: { content } }) =>
    content.kind === 'polygon' ? content.features : [],
  );
  const own = rangesOf(features, species);
  const range =
    own.length === 0 ? null : { index: areaShapes(own), outlines: own.flatMap((a) => a.geometry.flat()) };
  desk.memo.set(name, range);
  return range;
}

const at = ({ lon, lat }: Place): readonly [number, number] => [lon, lat];

const nearestTo = (index: ShapeIndex, { lon, lat }: Place, options: Parameters<typeof nearest>[3]) => {
  const found = nearest(index, Float64Array.of(lon), Float64Array.of(lat), options);
  return { metres: found.metres[0], which: found.which[0], segment: found.segment[0] };
};

/** The place on a segment that is nearest; the tree itself where it stands inside of what is measured. */
function footIn({ ends }: ShapeIndex, segment: number, tree: Place): Place {
  if (segment < 0) return tree;
  const { lonMetres, latMetres } = localFrame(tree.lat);
  const t = footOf(ends, segment, tree.lon, tree.lat, lonMetres, latMetres);
  const on = (axis: 0 | 1): number =>
    ends[4 * segment + axis] + t * (ends[4 * segment + 2 + axis] - ends[4 * segment + axis]);
  return { lon: on(0), lat: on(1) };
}

const area = (geometry: MultiPolygon, pieces: readonly string[], label = ''): EvidenceMark => ({
  kind: 'area',
  pieces,
  label,
  geometry,
});

const lines = (of: readonly Line[], pieces: readonly string[], label: string): EvidenceMark[] =>
  of.length === 0 ? [] : [{ kind: 'lines', pieces, label, lines: of }];

const link = (
  from: Place,
  to: Place,
  metres: number,
  pieces: readonly string[],
  label: string,
): EvidenceMark[] => (metres > 0 ? [{ kind: 'link', pieces, label, from, to, metres }] : []);
