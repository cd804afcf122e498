/** Measures every candidate against every open layer: the first half of a vetting, without any judgement. */
import type { Place } from '../../domain/base/geo.ts';
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { kin, type KinColumns } from '../../domain/candidates/kin.ts';
import { structureOf } from '../../domain/candidates/pattern/structure.ts';
import type { StructureColumns } from '../../domain/candidates/pattern/types.ts';
import { areaIndex } from '../../domain/layers/areaIndex.ts';
import { nearest } from '../../domain/layers/nearest.ts';
import { drivable } from '../../domain/layers/roads.ts';
import { settingOfArea } from '../../domain/layers/settings.ts';
import { rangeDistance } from '../../domain/candidates/rangeDistance.ts';
import { farthestMoves } from '../../domain/vetting/moves.ts';
import type { EvidenceSettings } from '../../domain/plan/schema.ts';
import { READ_FROM } from '../../domain/vetting/readFrom.ts';
import type { Measures, Provenance } from '../../domain/vetting/vetting.ts';
import type { Content } from '../../io/read/types.ts';
import { layersOf, type Desk, type OpenLayer } from './desk.ts';
import { coverAt, reliefAt } from './ground.ts';
import { newest, type Memo } from './memo.ts';
import { NEAR_BUILDINGS_METRES, REACH_METRES } from './reach.ts';
import { roadsAt } from './roadsAt.ts';
import { shapesOf } from './shapesOf.ts';
import { zonesOn } from './zonesOn.ts';

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
        entry.year ?? '',
      ]),
    ),
  )}`;
}

/**
 * Columns over all candidates; NaN or -1 where a layer is missing or has no value.
 * @param sites at least one; distance and bearing are those of the farthest.
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
  const { n } = candidates;
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
      age: unknown(n),
      measuredYear: unknown(n),
      ...farthestMoves(candidates, sites),
    },
    provenance: provenanceIn(desk),
  });
}

async function measurePlaces(desk: Desk, candidates: Candidates, work: Work): Promise<Result<PlaceMeasures>> {
  const { n, lon, lat } = candidates;
  const steps = 8;
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
  const inventory = shapesOf(desk, 'inventory', 'point');

  await next('settings looked up');
  const setting = new Int16Array(n).fill(-1);
  const areas = features('settings', 'polygon')
    .flat()
    .map((a) => ({ shape: a.geometry, kind: settingOfArea(a.attributes) }))
    // An area whose words name no setting hides none that lies under it.
    .filter((a) => a.kind >= 0);
  if (areas.length > 0) {
    const { areaOf } = areaIndex(areas.map((a) => a.shape));
    for (let i = 0; i < n; i++) {
      const area = areaOf(lon[i], lat[i]);
      if (area >= 0) setting[i] = areas[area].kind;
    }
  }

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
    buildingYear: unknown(n),
    road: road?.metres ?? unknown(n),
    roadEdge: road?.metres ?? unknown(n),
    drivable: drive?.metres ?? unknown(n),
    roadRow: roads?.rows.trees ?? unknown(n),
    inventory: inventory ? nearest(inventory.index, lon, lat, { reach: REACH_METRES }).metres : unknown(n),
    plantedOnRecord: new Map(),
    setting,
    settingYear: unknown(n),
    developedYear: unknown(n),
    range: outside,
  });
}
