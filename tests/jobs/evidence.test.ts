/** What the evidence on origin is measured from, by the job that vets: years of the ground, age, lists of trees. All invented. */
import proj4 from 'proj4';
import { describe, expect, it } from 'vitest';
import { writeCog } from '../../demo-data/lib/cog.ts';
import { localFrame } from '../../src/domain/base/localFrame.ts';
import { editLayer } from '../../src/domain/plan/change.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { Plan } from '../../src/domain/plan/schema.ts';
import { pieceOf } from '../../src/domain/vetting/origin/pieces.ts';
import { sheet } from '../../src/domain/vetting/sheet.ts';
import type { Vetting } from '../../src/domain/vetting/vetting.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { editedCandidates } from '../../src/jobs/handlers/candidates.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';

const LON = -84.5;
const LAT = 38;
const { lonMetres, latMetres } = localFrame(LAT);
/** @param east, north metres from the first tree. */
const at = (east: number, north = 0): [number, number] => [LON + east / lonMetres, LAT + north / latMetres];
const around = (east: number, half: number): Array<[number, number]> =>
  [
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
    [-1, -1],
  ].map(([u, v]) => at(east + u * half, v * half));
const areas = (...list: ReadonlyArray<readonly [east: number, half: number, properties: object]>): string =>
  features(list.map(([east, half, properties]) => ['Polygon', [around(east, half)], properties]));
const features = (list: ReadonlyArray<readonly [string, unknown, object]>): string =>
  JSON.stringify({
    type: 'FeatureCollection',
    features: list.map(([type, coordinates, properties]) => ({
      type: 'Feature',
      properties,
      geometry: { type, coordinates },
    })),
  });

/** Trees at 0, 500, 1000 and 1500 m east, each 20 inches thick: white oaks of about 100 years, a bur oak without a factor. */
const trees = [
  'id,species,lon,lat,dbh_in,date',
  ...['white oak,0,2020-09-01', 'white oak,500,', 'bur oak,1000,2020-09-01', 'white oak,1500,2020-09-01'].map(
    (t, i) => {
      const [species, east, date] = t.split(',');
      return [`T${i}`, species, ...at(Number(east)), 20, date].join(',');
    },
  ),
].join('\n');

const albers = proj4(
  '+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs',
  'EPSG:4326',
);
/** 100 x 60 cells of 60 m about the trees: 1958 in the columns of the first tree and west of it, 0 ("never") east of it. */
function yearsTif(): Uint8Array {
  const [x, y] = albers.inverse([LON, LAT]);
  return writeCog({
    width: 100,
    height: 60,
    data: Int16Array.from({ length: 6000 }, (_, i) => (i % 100 <= 51 ? 1958 : 0)),
    left: Math.round(x / 60) * 60 - 3000,
    top: Math.round(y / 60) * 60 + 1800,
    cell: 60,
    nodata: -32768,
    description: 'year',
    unit: '',
    overviews: 'majority',
  });
}

const FILES: Readonly<Record<string, string | Uint8Array>> = {
  'trees.csv': trees,
  'years.tif': yearsTif(),
  'parcels.geojson': areas(
    [500, 60, { YEAR_BUILT: 1931 }],
    [500, 30, { YEAR_BUILT: 1925 }],
    [1000, 60, { YEAR_BUILT: 0 }],
  ),
  'settings.geojson': areas(
    [0, 40, { kind: 'park', opened: '1921', surveyed: 2019 }],
    [1500, 40, { kind: 'burial ground', opened: 'ca. 1990' }],
  ),
  'houses.geojson': areas([1020, 10, { start_date: '1990' }], [60, 10, { start_date: '1900' }]),
  'roads.geojson': features([
    ['LineString', [at(-10, -500), at(-10, 500)], { highway: 'residential', width: '8' }],
  ]),
  'street.geojson': features([
    ['Point', at(502), { tag: 'S-7', species: 'Quercus alba', plant_date: '1987-05-01' }],
    ['Point', at(1001), { tag: 'S-8', species: 'Acer rubrum', plant_date: '1990' }],
  ]),
  'campus.csv': `Tree tag,Common name,latitude,longitude,Year planted\nC-1,white oak,${at(1503)[1]},${at(1503)[0]},1975\n`,
};

function planOf(...layers: ReadonlyArray<readonly [definition: string, path: string]>): Plan {
  const parsed = parsePlan(
    {
      kinstand: 1,
      title: 'Evidence',
      layers: [['candidates', 'trees.csv'] as const, ...layers].map(([definition, path]) => ({
        id: path,
        definition,
        path,
      })),
      plantings: [
        { id: 'p', title: 'P', species: 'Quercus alba', site: { lon: LON, lat: LAT }, variables: [] },
      ],
    },
    'plan.json',
  );
  if (!parsed.ok) throw new Error(parsed.failure.what);
  return parsed.value;
}

async function open(plan: Plan): Promise<Desk> {
  const desk = createDesk();
  for (const entry of plan.layers) {
    const file = FILES[entry.path ?? ''];
    const bytes = typeof file === 'string' ? new TextEncoder().encode(file) : file;
    const opened = await openLayer(desk, entry, memorySource(entry.path ?? '', bytes), {});
    if (!opened.ok) throw new Error(`${opened.failure.where} ${opened.failure.what}`);
  }
  return desk;
}
async function vetted(desk: Desk, plan: Plan): Promise<Vetting> {
  const result = await vet(desk, plan, plan.plantings[0], 'k', {});
  if (!result.ok) throw new Error(result.failure.what);
  return result.value;
}
const answers = ({ origin }: Vetting, id: string): string[] => {
  const column = origin.evidence.find((e) => e.piece === id);
  return Array.from(column?.value ?? [], (v) =>
    Number.isNaN(v) ? 'not known' : (pieceOf(id)?.words?.[v].split(' ')[0] ?? String(v)),
  );
};

describe('years of the ground', () => {
  it('come from the cell of a raster, 0 being none, then from the earliest of the areas', async () => {
    const plan = planOf(['development', 'years.tif'], ['development', 'parcels.geojson']);
    const v = await vetted(await open(plan), plan);
    expect([...v.measures.developedYear]).toEqual([1958, 1925, NaN, NaN]);
    expect(v.provenance.developedYear?.layer).toBe('Year first developed');
  });

  it('a raster is told by its years alone', async () => {
    const plan = planOf(['development', 'years.tif']);
    const desk = await open(plan);
    const layer = desk.layers.get('years.tif');
    expect(layer?.figures).toMatchObject({ least: 1958, most: 1958 });
    expect(layer?.figures?.missing).toBeGreaterThan(0.4);
    expect(layer?.notes).toEqual([]);
  });

  it('come from the setting that a tree stands in, and from the nearest building within 30 m', async () => {
    const plan = planOf(['settings', 'settings.geojson'], ['buildings', 'houses.geojson']);
    const { measures } = await vetted(await open(plan), plan);
    expect([...measures.settingYear]).toEqual([1921, NaN, NaN, 1990]);
    expect([...measures.buildingYear]).toEqual([NaN, NaN, 1990, NaN]);
  });

  it('follow the attribute that the user chooses, without a file being opened again', async () => {
    const plan = planOf(['settings', 'settings.geojson']);
    const desk = await open(plan);
    expect((await vetted(desk, plan)).measures.settingYear[0]).toBe(1921);
    const other = editLayer(plan, 'settings.geojson', { year: 'surveyed' }).after;
    expect((await vetted(desk, other)).measures.settingYear[0]).toBe(2019);
    const none = editLayer(plan, 'settings.geojson', { year: '' }).after;
    expect((await vetted(desk, none)).measures.settingYear[0]).toBeNaN();
    expect((await vetted(desk, plan)).measures.settingYear[0]).toBe(1921);
  });
});

describe('age', () => {
  it('of a measured tree is set against them; growth, error and date take effect when edited', async () => {
    const plan = planOf(
      ['development', 'parcels.geojson'],
      ['settings', 'settings.geojson'],
      ['buildings', 'houses.geojson'],
    );
    const desk = await open(plan);
    const v = await vetted(desk, plan);
    expect(Array.from(v.measures.age, Math.round)).toEqual([100, 100, NaN, 100]);
    expect([...v.measures.measuredYear]).toEqual([2020, NaN, 2020, 2020]);
    // Begun between 1890 and 1950: the park of 1921 lies between, the burial ground of 1990 after.
    expect(answers(v, 'ageDeveloped')).toEqual(['as', 'not known', 'not known', 'not known']);
    expect(answers(v, 'ageBurialGround')).toEqual(['not known', 'not known', 'not known', 'older']);

    const dated = editLayer(plan, 'trees.csv', { date: '2024' }).after;
    const w = await vetted(desk, dated);
    expect([...w.measures.measuredYear]).toEqual([2020, 2024, 2020, 2020]);
    expect(answers(w, 'ageDeveloped')[1]).toBe('as');

    const grown = { ...plan, evidence: { ...plan.evidence, growth: { 'bur oak': 2 } } };
    const g = await vetted(desk, grown);
    expect(g.measures.age[2]).toBeCloseTo(40, 9);
    // Begun between 1968 and 1992, the building is of 1990.
    expect(answers(g, 'ageDeveloped')[2]).toBe('as');
    const sure = { ...plan, evidence: { ...grown.evidence, ageError: 0.05 } };
    expect(answers(await vetted(desk, sure), 'ageDeveloped')).toEqual([
      'as',
      'not known',
      'older',
      'not known',
    ]);
  });

  it('says which growth factor cannot be used', async () => {
    const plan = planOf();
    const odd = { ...plan, evidence: { ...plan.evidence, growth: { 'red oak': 4 } } };
    const { notes } = await vetted(await open(odd), odd);
    expect(notes.join(' ')).toContain('the growth factor of "red oak" is not used');
  });

  it('is shown on the sheet with the measure that the year was read from', async () => {
    const plan = planOf(['settings', 'settings.geojson']);
    const desk = await open(plan);
    const v = await vetted(desk, plan);
    const candidates = editedCandidates(desk, plan.candidates);
    if (!candidates.ok) throw new Error(candidates.failure.what);
    const told = sheet(v, candidates.value.candidates, 0).evidenceEven.find(
      (e) => e.piece === 'ageDeveloped',
    );
    expect(told?.detail).toBe('about 100 years (70 to 130) by its diameter, measured 2020; park since 1921');
    expect(told?.provenance?.layer).toBe('Settings');
  });
});

it('the edge of a road is its line less half its width', async () => {
  const plan = planOf(['roads', 'roads.geojson']);
  const { measures } = await vetted(await open(plan), plan);
  expect(measures.road[0]).toBeCloseTo(10, 2);
  expect(measures.roadEdge[0]).toBeCloseTo(6, 2);
});

describe('lists of trees', () => {
  it('as points and as a table decide on a tree that they say was planted, each under its own title', async () => {
    const plan = planOf(['inventory', 'street.geojson'], ['inventory', 'campus.csv']);
    const desk = await open(plan);
    const { measures, origin } = await vetted(desk, plan);
    expect([...measures.plantedOnRecord]).toEqual([
      [1, 'Planted by record: Street and park trees, entry S-7, planted 1987, 2 m from the position'],
      [3, 'Planted by record: Street and park trees, entry C-1, planted 1975, 3 m from the position'],
    ]);
    expect([...origin.decided]).toEqual([0, 2, 0, 2]);
    expect(origin.decidedBy[3]).toContain('entry C-1');
    // A maple is not the oak beside it.
    expect(answers({ origin } as Vetting, 'inventory')).toEqual(['not', 'listed', 'not', 'listed']);

    const named = editLayer(plan, 'campus.csv', { title: 'Campus trees' }).after;
    expect((await vetted(desk, named)).origin.decidedBy[3]).toContain('Campus trees, entry C-1');
    const none = editLayer(plan, 'campus.csv', { year: '' }).after;
    expect([...(await vetted(desk, none)).origin.decided]).toEqual([0, 2, 0, 0]);
  });
});
