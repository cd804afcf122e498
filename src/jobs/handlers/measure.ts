/** Measures every candidate against every open layer: the first half of a vetting, without any judgement. */
import type { Place } from '../../domain/base/geo.ts';
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { kin, type KinColumns } from '../../domain/candidates/kin.ts';
import { age, measuredYear } from '../../domain/candidates/age.ts';
import { structureOf } from '../../domain/candidates/pattern/structure.ts';
import type { StructureColumns } from '../../domain/candidates/pattern/types.ts';
import { areaIndex } from '../../domain/layers/areaIndex.ts';
import { nearest, type NearestColumns } from '../../domain/layers/nearest.ts';
import { drivable, halfWidth } from '../../domain/layers/roads.ts';
import { settingOfArea } from '../../domain/layers/settings.ts';
import { rangeDistance } from '../../domain/candidates/rangeDistance.ts';
import { farthestMoves } from '../../domain/vetting/moves.ts';
import type { EvidenceSettings } from '../../domain/plan/schema.ts';
import { READ_FROM } from '../../domain/vetting/readFrom.ts';
import type { Measures, Provenance } from '../../domain/vetting/vetting.ts';
import type { Content } from '../../io/read/types.ts';
import { layersOf, type Desk, type OpenLayer } from './desk.ts';
import { coverAt, reliefAt } from './ground.ts';
import { inventoryAt } from './inventoryAt.ts';
import { newest, type Memo } from './memo.ts';
import { NEAR_BUILDINGS_METRES, REACH_METRES } from './reach.ts';
import { roadsAt } from './roadsAt.ts';
import { shapesOf } from './shapesOf.ts';
import { developedYear, yearsOf } from './yearsOf.ts';
import { zonesOn } from './zonesOn.ts';

/** A building this near stands where the tree would be in its yard. */
const YARD_METRES = 30;

/** Measured anew for a planting or for other settings; the rest hangs on the layers alone. */
type Asked =
  keyof KinColumns | 'distance' | 'bearing' | 'northward' | 'age' | 'measuredYear' | keyof StructureColumns;
type PlaceMeasures = Omit<Measures, Asked>;

export interface Measured {
  readonly measures: Measures;
  readonly provenance: Readonly<Partial<Record<keyof Measures, Provenance>>>;
}

type FeaturesOf<K> = Extract<Content, { kind: K }> extends { features: infer F } ? F : never;

const unknown = (n: number): Float64Array => new Float64Array(n).fill(NaN);

/** Layers of a definition that are measured; of zones one alone. */
const measured = (desk: Desk, definition: string): OpenLayer[] =>
  definition === 'zones' ? layersOf(desk, definition).slice(0, 1) : layersOf(desk, definition);

/** What each measure was read from, as the sheet shows it; several layers in one line. */
function provenanceIn(desk: Desk): Partial<Record<keyof Measures, Provenance>> {
  const provenance: Partial<Record<keyof Measures, Provenance>> = {};
  for (const [definition, names] of Object.entries(READ_FROM)) {
    const layers = measured(desk, definition);
    if (layers.length === 0) continue;
    const all = (text: (l: OpenLayer) => string): string =>
      [...new Set(layers.map(text).filter((t) => t !== ''))].join('; ');
    const from = {
      layer: all((l) => l.entry.title ?? l.definition.title),
      source: all((l) => l.entry.source),
      date: all((l) => l.entry.date),
    };
    for (const name of names) provenance[name] = from;
  }
  return provenance;
}

/**
 * What the measures of places hang on besides the open files: which layers, in which order, and what their entries say of
 * values. It is edited without a file being opened again.
 */
function measuredFrom(desk: Desk): string {
  return `measures ${JSON.stringify(
    Object.keys(READ_FROM).map((definition) =>
      measured(desk, definition).map(({ entry }) => [
        entry.id,
        entry.band,
        entry.classes ?? {},
        entry.year ?? null,
        // Sentences of inventories name the list.
        definition === 'inventory' ? (entry.title ?? null) : null,
      ]),
    ),
  )}`;
}

/**
 * Columns over all candidates; NaN or -1 where a layer is missing or has no value.
 * @param sites distance and bearing are those of the farthest; with none they are not known.
 * @param hybridRadius metres within which other oaks of the section are counted.
 * @param settings what age and structure are measured with.
 */
export async function measure(
  desk: Desk,
  candidates: Candidates,
  sites: readonly Place[],
  hybridRadius: number,
  settings: EvidenceSettings,
  work: Work,
  memo: Memo,
): Promise<Result<Measured>> {
  const key = measuredFrom(desk);
  for (const held of desk.memo.keys())
    if (held.startsWith('measures ') && held !== key) desk.memo.delete(held);
  const read = await memo(key, () => measurePlaces(desk, candidates, work));
  if (!read.ok) return read;
  const structure = await newest(memo, 'structure', String(settings.link), async () =>
    ok(await structureOf(candidates, settings.link, work)),
  );
  if (!structure.ok) return structure;
  const others = await newest(memo, 'kin', String(hybridRadius), () =>
    Promise.resolve(ok(kin(candidates, hybridRadius))),
  );
  if (!others.ok) return others;
  return ok({
    measures: {
      ...read.value,
      ...structure.value,
      ...others.value,
      age: age(candidates, settings.growth),
      measuredYear: measuredYear(candidates, (file) => dateOf(desk, file)),
      ...farthestMoves(candidates, sites),
    },
    provenance: provenanceIn(desk),
  });
}

/** Date of a file of candidates as its layers say it; '' where they say different ones. */
function dateOf(desk: Desk, file: string): string {
  const dates = new Set(
    layersOf(desk, 'candidates').flatMap((l) => (l.opened.file === file ? [l.entry.date] : [])),
  );
  return dates.size === 1 ? [...dates][0] : '';
}

async function measurePlaces(desk: Desk, candidates: Candidates, work: Work): Promise<Result<PlaceMeasures>> {
  const { n, lon, lat } = candidates;
  const steps = 9;
  let step = 0;
  const next = async (what: string): Promise<void> => {
    work.progress?.(step++, steps, what);
    await work.pause?.();
  };

  const features = <K extends 'polygon' | 'line' | 'point'>(definition: string, kind: K): FeaturesOf<K>[] =>
    layersOf(desk, definition).flatMap(({ opened }) =>
      opened.content.kind === kind ? [opened.content.features as FeaturesOf<K>] : [],
    );

  await next('elevations read');
  const relief = await reliefAt(layersOf(desk, 'elevation'), lon, lat, work);
  if (!relief.ok) return relief;

  await next('zones looked up');
  const zone = zonesOn(desk)?.zonesOf(lon, lat) ?? new Int32Array(n).fill(-1);

  await next('land cover read');
  const ground = await coverAt(layersOf(desk, 'land-cover'), lon, lat, work);
  if (!ground.ok) return ground;

  await next('buildings measured');
  const buildings = shapesOf(desk, 'buildings', 'polygon');
  const near = buildings
    ? nearest(buildings.index, lon, lat, { within: NEAR_BUILDINGS_METRES, reach: REACH_METRES })
    : null;

  await next('roads measured');
  const roads = roadsAt(desk, candidates);
  const road = roads?.near;
  const drive = roads
    ? nearest(roads.index, lon, lat, {
        reach: REACH_METRES,
        keep: (s) => drivable(roads.features[s].attributes),
      })
    : null;

  await next('inventories compared');
  const listed = inventoryAt(desk, candidates);

  await next('settings looked up');
  const setting = new Int16Array(n).fill(-1);
  const settingYear = unknown(n);
  const areas = features('settings', 'polygon')
    .flat()
    .map((a, at) => ({ shape: a.geometry, kind: settingOfArea(a.attributes), at }))
    // An area whose words name no setting hides none that lies under it.
    .filter((a) => a.kind >= 0);
  if (areas.length > 0) {
    const { areaOf } = areaIndex(areas.map((a) => a.shape));
    const yearOf = yearsOf(desk, 'settings', 'polygon');
    for (let i = 0; i < n; i++) {
      const area = areaOf(lon[i], lat[i]);
      if (area < 0) continue;
      setting[i] = areas[area].kind;
      settingYear[i] = yearOf(areas[area].at);
    }
  }

  await next('years of development read');
  const developed = await developedYear(desk, lon, lat, work);
  if (!developed.ok) return developed;

  await next('native ranges measured');
  const ranges = features('native-range', 'polygon').flat();
  const outside = ranges.length > 0 ? rangeDistance(ranges, candidates) : unknown(n);

  work.progress?.(steps, steps, 'layers measured');
  return ok({
    ...relief.value,
    zone,
    ...ground.value,
    building: near?.metres ?? unknown(n),
    buildings100: near?.count ?? unknown(n),
    buildingYear: near ? buildingYears(desk, near) : unknown(n),
    road: road?.metres ?? unknown(n),
    roadEdge:
      roads?.near.metres.map((m, i) =>
        Math.max(0, m - halfWidth(roads.features[roads.near.which[i]]?.attributes ?? {})),
      ) ?? unknown(n),
    drivable: drive?.metres ?? unknown(n),
    roadRow: roads?.rows.trees ?? unknown(n),
    inventory: listed?.inventory ?? unknown(n),
    plantedOnRecord: listed?.plantedOnRecord ?? new Map(),
    setting,
    settingYear,
    developedYear: developed.value,
    range: outside,
  });
}

/** Year of the nearest building, where it is near enough to have had the tree in its yard. */
function buildingYears(desk: Desk, near: NearestColumns): Float64Array {
  const yearOf = yearsOf(desk, 'buildings', 'polygon');
  return near.metres.map((metres, i) => (metres <= YARD_METRES ? yearOf(near.which[i]) : NaN));
}
