/** The files that the screens offer, made by the writers from what is on screen. */
import type { MultiPolygon } from '../domain/base/geo.ts';
import { fail, ok, type Result } from '../domain/base/result.ts';
import { surfaceAbout } from '../domain/plan/surfaceAbout.ts';
import { OAKS, resolveSpecies } from '../domain/species/species.ts';
import { weightsOf } from '../domain/vetting/origin/weightsOf.ts';
import { sortZones, type ZoneRow } from '../domain/vetting/zoneRanking.ts';
import { candidatesCsv } from '../io/write/candidates.ts';
import { parentSetRecord } from '../io/write/parentSet.ts';
import { routeCsv, routeGeojson, routeGpx, type RouteTexts } from '../io/write/route.ts';
import { vettingCsv, vettingGeojson } from '../io/write/vetting.ts';
import { zonesCsv, zonesGeojson } from '../io/write/zoneRanking.ts';
import type { ExportedFile, Exporter } from '../state/exporter.ts';
import type { Kinstand } from '../state/kinstand.svelte.ts';
import { zoneRows } from '../state/zoneRows.ts';

const fileName = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '') || 'kinstand';

/** Outlines of the zones that are ranked, as they were read for the map. */
async function zoneOutlines(k: Kinstand): Promise<MultiPolygon[]> {
  const layer = k.plan.layers.find((l) => l.definition === 'zones' && k.layers.view(l.id));
  const text = layer && (await k.layers.view(layer.id)?.geojson?.text());
  if (!text) return [];
  const { features } = JSON.parse(text) as {
    features: Array<{ properties: { index: number }; geometry: { coordinates: MultiPolygon } }>;
  };
  const outlines: MultiPolygon[] = [];
  for (const { properties, geometry } of features) outlines[properties.index] = geometry.coordinates;
  return outlines;
}

export function createExporter(k: Kinstand): Exporter {
  const notReady = (what: string): Result<never> =>
    fail(
      'content',
      what,
      'is not ready yet',
      'Wait until it is done, or see what is missing in the Layers stage.',
    );
  const file = (name: string, text: string, type: string): Result<ExportedFile> =>
    ok({ name, blob: new Blob([text], { type }) });

  const vetted = (
    write: (...input: Parameters<typeof vettingCsv>) => string,
    ending: string,
    type: string,
  ): Result<ExportedFile> => {
    const { vetting, choice } = k.results;
    const { planting } = k;
    const candidates = k.layers.candidates;
    if (!vetting || !planting || !candidates) return notReady('The vetting');
    const marks = { members: choice?.set.members ?? [], reserves: choice?.reserves.reserves ?? [] };
    return file(
      `${fileName(planting.title)}-vetting.${ending}`,
      write(planting, vetting, candidates, marks, k.plan.notice),
      type,
    );
  };

  const routed = (
    write: (day: NonNullable<Kinstand['results']['day']>, texts: RouteTexts) => string,
    ending: string,
    type: string,
  ): Result<ExportedFile> => {
    const { day } = k.results;
    const { planting } = k;
    if (!day || !planting) return notReady('The scouting day');
    const species = OAKS[resolveSpecies(planting.species).species]?.name ?? planting.species;
    const texts = {
      title: `Scouting, ${planting.title}`,
      date: planting.scouting.date,
      species,
      notice: k.plan.notice,
      time: new Date().toISOString(),
    };
    return file(`${fileName(planting.title)}-scouting.${ending}`, write(day, texts), type);
  };

  /** Empty while the ranking is that of earlier inputs: a file would not say so. */
  const ranked = (): ZoneRow[] =>
    k.ranking.key === k.surface.spec?.key ? sortZones(zoneRows(k), 'share', 'down') : [];

  return {
    candidatesCsv: () => {
      const candidates = k.layers.candidates;
      return Promise.resolve(
        candidates
          ? file(
              `${fileName(k.plan.title)}-candidates.csv`,
              candidatesCsv(candidates, k.plan.notice),
              'text/csv',
            )
          : notReady('The table of candidates'),
      );
    },
    vettingCsv: () => Promise.resolve(vetted(vettingCsv, 'csv', 'text/csv')),
    vettingGeojson: () => Promise.resolve(vetted(vettingGeojson, 'geojson', 'application/geo+json')),
    parentSetJson: () => {
      const { vetting, choice } = k.results;
      const candidates = k.layers.candidates;
      if (!vetting || !choice || !candidates || !k.planting)
        return Promise.resolve(notReady('The parent set'));
      const record = parentSetRecord(k.planting, vetting, candidates, choice, k.plan.notice);
      return Promise.resolve(
        file(
          `${fileName(k.planting.title)}-parent-set.json`,
          JSON.stringify(record, null, 2) + '\n',
          'application/json',
        ),
      );
    },
    routeGpx: () => Promise.resolve(routed(routeGpx, 'gpx', 'application/gpx+xml')),
    routeGeojson: () => Promise.resolve(routed(routeGeojson, 'geojson', 'application/geo+json')),
    routeCsv: () => Promise.resolve(routed(routeCsv, 'csv', 'text/csv')),
    surfaceGeotiff: async () => {
      const { planting, surface, spread } = k;
      if (!planting || !surface.spec || !spread.value) return notReady('The match surface');
      const about = surfaceAbout(k.plan.notice, planting, surface.variables, spread.value.spread);
      const made = await k.surfaceFile.make(surface.spec, about);
      return made.ok ? ok({ name: `${fileName(planting.title)}-match.tif`, blob: made.value }) : made;
    },
    zonesCsv: () => {
      const rows = ranked();
      if (!k.planting || rows.length === 0) return Promise.resolve(notReady('The ranking of zones'));
      const name = `${fileName(k.planting.title)}-zones.csv`;
      return Promise.resolve(file(name, zonesCsv(rows, k.least, k.plan.notice), 'text/csv'));
    },
    zonesGeojson: async () => {
      const rows = ranked();
      const outlines = await zoneOutlines(k);
      if (!k.planting || rows.length === 0 || rows.some((r) => !outlines[r.zone]))
        return notReady('The ranking of zones');
      const name = `${fileName(k.planting.title)}-zones.geojson`;
      return file(name, zonesGeojson(rows, outlines, k.least, k.plan.notice), 'application/geo+json');
    },
    workspaceFile: async () => {
      const packed = await k.packFile();
      return packed.ok ? ok({ name: `${fileName(k.plan.title)}.kinstand.zip`, blob: packed.value }) : packed;
    },
    originWeights: () =>
      Promise.resolve(
        file('evidence-weights.json', JSON.stringify(weightsOf(k.plan), null, 2) + '\n', 'application/json'),
      ),
  };
}
