/** Measures every candidate against every open layer: the first half of a vetting, without any judgement. */
import { geodesicInverse } from '../../domain/base/geodesy.ts';
import type { Place } from '../../domain/base/geo.ts';
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { kin } from '../../domain/candidates/kin.ts';
import { roadRow } from '../../domain/candidates/roadRow.ts';
import { areaIndex } from '../../domain/layers/areaIndex.ts';
import { GROUNDS, groundShares, groundTable } from '../../domain/layers/landcover.ts';
import { areaShapes, nearest, spotShapes, trackShapes } from '../../domain/layers/nearest.ts';
import { drivable } from '../../domain/layers/roads.ts';
import { settingOfArea } from '../../domain/layers/settings.ts';
import { slopeDegrees } from '../../domain/layers/terrain.ts';
import { rangeDistance } from '../../domain/candidates/rangeDistance.ts';
import type { Measures, Provenance } from '../../domain/vetting/vetting.ts';
import type { Raster } from '../../io/read/raster.ts';
import { layersOf, type Desk, type OpenLayer } from './desk.ts';
import type { Memo } from './matchColumns.ts';
import { zonesOn } from './zonesOn.ts';

/** A layer of one county says nothing of the next: farther than this outside its extent nothing is known. */
const REACH_METRES = 1000;
const NEAR_BUILDINGS_METRES = 100;

type PlaceMeasures = Omit<Measures, 'kin' | 'distance' | 'bearing' | 'northward'>;

export interface Measured {
  readonly measures: Measures;
  readonly provenance: Readonly<Partial<Record<keyof Measures, Provenance>>>;
}

const unknown = (n: number): Float64Array => new Float64Array(n).fill(NaN);

const rasterOf = (layer: OpenLayer | undefined): Raster | null =>
  layer?.opened.content.kind === 'raster' ? layer.opened.content.raster : null;

/** Definition of the layer that each measure is read from. */
const READ_FROM: Readonly<Record<string, ReadonlyArray<keyof Measures>>> = {
  elevation: ['elevation', 'slope'],
  zones: ['zone'],
  'land-cover': ['cover', 'developed100', 'developed500', 'forest100'],
  buildings: ['building', 'buildings100'],
  roads: ['road', 'drivable', 'roadRow'],
  inventory: ['inventory'],
  settings: ['setting'],
  'native-range': ['range'],
};

/** What each measure was read from, as the sheet shows it. */
function provenanceIn(desk: Desk): Partial<Record<keyof Measures, Provenance>> {
  const provenance: Partial<Record<keyof Measures, Provenance>> = {};
  for (const [definition, names] of Object.entries(READ_FROM)) {
    const [layer] = layersOf(desk, definition);
    if (!layer) continue;
    const { title = layer.definition.title, source, date } = layer.entry;
    for (const name of names) provenance[name] = { layer: title, source, date };
  }
  return provenance;
}

/**
 * Columns over all candidates; NaN or -1 where a layer is missing or has no value.
 * @param hybridRadius metres within which other oaks of the section are counted.
 */
export async function measure(
  desk: Desk,
  candidates: Candidates,
  site: Place,
  hybridRadius: number,
  work: Work,
  memo: Memo,
): Promise<Result<Measured>> {
  const read = await memo('measures', () => measurePlaces(desk, candidates, work));
  if (!read.ok) return read;
  const n = candidates.n;
  const distance = unknown(n);
  const bearing = unknown(n);
  const northward = unknown(n);
  for (let i = 0; i < n; i++) {
    const line = geodesicInverse(candidates.lon[i], candidates.lat[i], site.lon, site.lat);
    distance[i] = line.metres / 1000;
    bearing[i] = (line.azimuth1 + 360) % 360;
    northward[i] = distance[i] * Math.cos((line.azimuth1 * Math.PI) / 180);
  }
  return ok({
    measures: { ...read.value, kin: kin(candidates, hybridRadius), distance, bearing, northward },
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

  await next('elevations read');
  const [terrain] = layersOf(desk, 'elevation');
  const relief = await elevationAndSlope(rasterOf(terrain), terrain?.entry.band ?? 1, lon, lat, work);
  if (!relief.ok) return relief;

  await next('zones looked up');
  const zone = zonesOn(desk)?.zonesOf(lon, lat) ?? new Int32Array(n).fill(-1);

  await next('land cover read');
  const [cover] = layersOf(desk, 'land-cover');
  const ground = await groundAround(rasterOf(cover), cover?.entry.band ?? 1, lon, lat, work);
  if (!ground.ok) return ground;

  await next('buildings measured');
  const [buildings] = layersOf(desk, 'buildings');
  const near =
    buildings?.opened.content.kind === 'polygon'
      ? nearest(areaShapes(buildings.opened.content.features), lon, lat, {
          within: NEAR_BUILDINGS_METRES,
          reach: REACH_METRES,
        })
      : null;

  await next('roads measured');
  const [roads] = layersOf(desk, 'roads');
  const tracks = roads?.opened.content.kind === 'line' ? roads.opened.content.features : null;
  const lines = tracks ? trackShapes(tracks) : null;
  const road = lines ? nearest(lines, lon, lat, { reach: REACH_METRES }) : null;
  const drive =
    lines && tracks
      ? nearest(lines, lon, lat, { reach: REACH_METRES, keep: (s) => drivable(tracks[s].attributes) })
      : null;

  await next('inventories compared');
  const inventories = layersOf(desk, 'inventory');
  const entries = inventories.flatMap((l) =>
    l.opened.content.kind === 'point' ? l.opened.content.features : [],
  );

  await next('settings looked up');
  const [settings] = layersOf(desk, 'settings');
  const setting = new Int16Array(n).fill(-1);
  if (settings?.opened.content.kind === 'polygon') {
    const areas = settings.opened.content.features;
    const kinds = areas.map((a) => settingOfArea(a.attributes));
    const { areaOf } = areaIndex(areas.map((a) => a.geometry));
    for (let i = 0; i < n; i++) {
      const area = areaOf(lon[i], lat[i]);
      if (area >= 0) setting[i] = kinds[area];
    }
  }

  await next('native ranges measured');
  const [range] = layersOf(desk, 'native-range');
  const outside =
    range?.opened.content.kind === 'polygon'
      ? rangeDistance(range.opened.content.features, candidates)
      : unknown(n);

  work.progress?.(steps, steps, 'layers measured');
  return ok({
    ...relief.value,
    zone,
    ...ground.value,
    building: near?.metres ?? unknown(n),
    buildings100: near?.count ?? unknown(n),
    road: road?.metres ?? unknown(n),
    drivable: drive?.metres ?? unknown(n),
    roadRow: lines && road ? roadRow(candidates, lines, road) : unknown(n),
    inventory:
      entries.length > 0
        ? nearest(spotShapes(entries), lon, lat, { reach: REACH_METRES }).metres
        : unknown(n),
    setting,
    range: outside,
  });
}

async function elevationAndSlope(
  raster: Raster | null,
  band: number,
  lon: Float64Array,
  lat: Float64Array,
  work: Work,
): Promise<Result<Pick<Measures, 'elevation' | 'slope'>>> {
  const n = lon.length;
  if (!raster) return ok({ elevation: unknown(n), slope: unknown(n) });
  const { col, row } = raster.toPixel(lon, lat);
  const elevation = await raster.sample(band, col, row, 'bilinear', work);
  if (!elevation.ok) return elevation;
  const windows = await raster.window3(band, col, row, work);
  if (!windows.ok) return windows;
  const cell = raster.cellMetres;
  const slope = Float64Array.from({ length: n }, (_, i) => slopeDegrees(windows.value, 9 * i, cell, cell));
  return ok({ elevation: elevation.value, slope });
}

async function groundAround(
  raster: Raster | null,
  band: number,
  lon: Float64Array,
  lat: Float64Array,
  work: Work,
): Promise<Result<Pick<Measures, 'cover' | 'developed100' | 'developed500' | 'forest100'>>> {
  const n = lon.length;
  if (!raster)
    return ok({
      cover: unknown(n),
      developed100: unknown(n),
      developed500: unknown(n),
      forest100: unknown(n),
    });
  const { col, row } = raster.toPixel(lon, lat);
  const cover = await raster.sample(band, col, row, 'nearest', work);
  if (!cover.ok) return cover;
  const classOf = groundTable();
  const near = await raster.countWithin(band, col, row, 100, classOf, GROUNDS.length, work);
  if (!near.ok) return near;
  const wide = await raster.countWithin(band, col, row, 500, classOf, GROUNDS.length, work);
  if (!wide.ok) return wide;
  const within100 = groundShares(near.value);
  return ok({
    cover: cover.value,
    developed100: within100.developed,
    developed500: groundShares(wide.value).developed,
    forest100: within100.forest,
  });
}
