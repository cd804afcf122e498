import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import { matchColumns } from '../../jobs/handlers/matchColumns.ts';
import type { ZoneShapes } from '../../jobs/handlers/referenceCells.ts';
import { siteValues, type MatchVariable } from '../../jobs/handlers/siteValues.ts';
import { one, optional, place, readOptions } from '../arguments.ts';
import type { Verb } from '../verb.ts';
import { openPoints, openRaster } from '../open.ts';
import { openZones } from '../zones.ts';

export const match: Verb = {
  name: 'match',
  usage:
    'match --raster F... [--bands 1,2,..] [--transform log:3,4] --site LON,LAT --points F [--zones F] [--key FIELD]',
  help: [
    'Environmental match of points against a site: the share of pairs of places inside one zone that differ by more.',
    '--raster     one or more rasters; each band is a variable',
    '--bands      with one raster: its bands to use (all by default); with several: one band for each raster',
    '--transform  log:LIST takes the logarithm of those variables, numbered as in --bands with one raster, else in order',
    '--zones      polygons of the zones (--key: field that identifies a zone); without, the circle of 50 km about the site',
    'JSON: {k, variables, spread, cells, points:[{id, d2, match, sigma, parts, limiting}]}; spread is the covariance of the',
    'transformed variables within zones, k the components kept.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions(
      'match',
      args,
      ['raster', 'bands', 'transform', 'site', 'points', 'zones', 'key'],
      [],
      ['raster'],
    );
    if (!options.ok) return options;
    const paths = options.value.values['raster'] ?? [];
    if (paths.length === 0)
      return fail('usage', 'match', '--raster is missing', 'See kinstand match --help.');
    const siteText = one(options.value, 'match', 'site');
    if (!siteText.ok) return siteText;
    const site = place(siteText.value, 'match', 'site');
    if (!site.ok) return site;
    const pointsPath = one(options.value, 'match', 'points');
    if (!pointsPath.ok) return pointsPath;
    const points = await openPoints(pointsPath.value);
    if (!points.ok) return points;
    const rasters: { path: string; raster: Raster }[] = [];
    for (const path of paths) {
      const raster = await openRaster(path);
      if (!raster.ok) return raster;
      rasters.push({ path, raster: raster.value });
    }
    const variables = chooseVariables(
      rasters,
      optional(options.value, 'bands'),
      optional(options.value, 'transform'),
    );
    if (!variables.ok) return variables;
    const zonesPath = optional(options.value, 'zones');
    const zones = zonesPath === null ? ok(null) : await zoneShapes(zonesPath, optional(options.value, 'key'));
    if (!zones.ok) return zones;
    const { id, lon, lat } = points.value;
    const accuracy = new Float64Array(lon.length).fill(NaN);
    const called = 'the site';
    const at = await siteValues(variables.value, { ...site.value, name: '', called }, work);
    if (!at.ok) return at;
    const found = await matchColumns(
      variables.value,
      [{ ...site.value, called, ...at.value }],
      { lon, lat, accuracy },
      zones.value,
      { kind: 'zones' },
      work,
    );
    if (!found.ok) return found;
    const { columns, spread, notes } = found.value;
    const k = spread.variables.length;
    const list = id.map((name, i) => ({
      id: name,
      d2: columns.d2[i],
      match: columns.match[i],
      sigma: columns.sigma[i],
      parts: columns.parts.map((p) => p[i]),
      limiting: columns.limiting[i] < 0 ? null : spread.variables[columns.limiting[i]],
    }));
    const json = {
      k: columns.k,
      variables: spread.variables,
      spread: spread.variables.map((_, r) => Array.from(spread.covariance.subarray(r * k, (r + 1) * k))),
      cells: spread.cells,
      from: spread.from,
      notes,
      points: list,
    };
    const show = (x: number): string => (Number.isFinite(x) ? x.toPrecision(6) : '');
    return ok({
      json,
      lines: [
        `spread ${spread.from}, ${spread.cells} cells, k = ${columns.k}`,
        ...notes,
        'id,match,sigma,d2,limiting',
        ...list.map((p) => [p.id, show(p.match), show(p.sigma), show(p.d2), p.limiting ?? ''].join(',')),
      ],
    });
  },
};

async function zoneShapes(path: string, key: string | null): Promise<Result<ZoneShapes>> {
  const read = await openZones(path, key);
  if (!read.ok) return read;
  const { zones } = read.value;
  return ok({
    id: path,
    names: zones.map((z) => z.name || z.key),
    shapes: zones.map((z) => z.area.geometry),
  });
}

function numbers(text: string, name: string): Result<number[]> {
  const list = text.split(',').map((t) => Number(t.trim()));
  return list.every((n) => Number.isInteger(n) && n >= 1)
    ? ok(list)
    : fail('usage', 'match', `--${name} is "${text}"`, 'Give whole numbers from 1, separated by commas.');
}

function chooseVariables(
  rasters: ReadonlyArray<{ path: string; raster: Raster }>,
  bandsText: string | null,
  transformText: string | null,
): Result<MatchVariable[]> {
  const bands = bandsText === null ? ok(null) : numbers(bandsText, 'bands');
  if (!bands.ok) return bands;
  let chosen: { path: string; raster: Raster; band: number }[];
  const all = rasters.flatMap((r) => r.raster.bands.map((_, b) => ({ ...r, band: b + 1 })));
  if (bands.value === null) chosen = all;
  else if (rasters.length === 1) chosen = bands.value.map((band) => ({ ...rasters[0], band }));
  else if (bands.value.length === rasters.length)
    chosen = rasters.map((r, i) => ({ ...r, band: bands.value?.[i] ?? 1 }));
  else
    return fail(
      'usage',
      'match',
      `--bands names ${bands.value.length} band(s) for ${rasters.length} rasters`,
      'Name one band for each raster.',
    );
  const absent = chosen.find((c) => c.band > c.raster.bands.length);
  if (absent)
    return fail(
      'usage',
      absent.path,
      `has ${absent.raster.bands.length} band(s), not ${absent.band}`,
      'Choose another band.',
    );

  const logs = logVariables(
    chosen.map((c) => c.band),
    transformText,
    rasters.length === 1,
  );
  if (!logs.ok) return logs;
  return ok(
    chosen.map((c, i) => {
      const title =
        c.raster.bands[c.band - 1].description ||
        `${fileName(c.path)}${c.raster.bands.length > 1 ? ` band ${c.band}` : ''}`;
      const id = `${c.path} ${c.band}`;
      return {
        variable: {
          id,
          title,
          unit: '1' as const,
          transform: logs.value.has(i) ? ('log' as const) : ('identity' as const),
          period: '',
          words: ['more', 'less'] as const,
        },
        // A file says nothing of what its values are of.
        role: 'climate' as const,
        siteLayer: { id, period: '' },
        raster: c.raster,
        band: c.band,
        siteRaster: c.raster,
        siteBand: c.band,
      };
    }),
  );
}

const fileName = (path: string): string => (path.split(/[\\/]/).at(-1) ?? path).replace(/\.[^.]+$/, '');

/** Positions of the variables to take the logarithm of. */
function logVariables(
  bands: readonly number[],
  text: string | null,
  byBand: boolean,
): Result<ReadonlySet<number>> {
  if (text === null) return ok(new Set());
  const list = /^log:(.+)$/.exec(text);
  if (!list)
    return fail(
      'usage',
      'match',
      `--transform is "${text}"`,
      'Give log: and the numbers of the variables, for example log:3,4.',
    );
  const wanted = numbers(list[1], 'transform');
  if (!wanted.ok) return wanted;
  const positions = wanted.value.map((n) => (byBand ? bands.indexOf(n) : n - 1));
  const wrong = positions.findIndex((p) => p < 0 || p >= bands.length);
  return wrong < 0
    ? ok(new Set(positions))
    : fail(
        'usage',
        'match',
        `--transform names ${wanted.value[wrong]}, which is not among the variables`,
        'Number them as in --bands.',
      );
}
