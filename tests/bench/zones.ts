/**
 * 500 zones of a million vertices: read from a file, mended and joined, and which touch; and in which of them each of a
 * million points lies. The peer, where it is installed, is GDAL with SpatiaLite (Debian gdal-bin): the same file into its
 * database with a spatial index, then one query; the answers must agree.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathSource } from '../../src/cli/pathSource.ts';
import { rng } from '../../src/domain/base/rng.ts';
import { adjacency } from '../../src/domain/layers/adjacency.ts';
import { zoneIndex, zonesFrom } from '../../src/domain/layers/zones.ts';
import { openSource } from '../../src/io/read/formats.ts';
import { writeGeojson } from '../../src/io/write/features.ts';
import { mendOpened } from '../../src/jobs/handlers/mendOpened.ts';
import { wigglyZones } from './zonesData.ts';

const POINTS = 1_000_000;
const SNAP = 30;
const folder = mkdtempSync(join(tmpdir(), 'bench-zones-'));
const file = (name: string): string => join(folder, name);
const clock = (): number => performance.now();
const gdal = (...args: string[]): number => {
  const t = clock();
  const run = spawnSync('ogr2ogr', args, { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`ogr2ogr: ${run.stderr}`);
  return clock() - t;
};
const rows = (name: string): string[][] =>
  readFileSync(file(name), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((l) => l.replaceAll('"', '').split(','));
const peered = (ms: number, peerMs: number | null): object => ({
  ms: Math.round(ms),
  peer: 'GDAL with SpatiaLite',
  peerMs: peerMs === null ? null : Math.round(peerMs),
  ratio: peerMs === null ? null : Number((peerMs / ms).toFixed(1)),
});

try {
  writeFileSync(
    file('zones.geojson'),
    [...writeGeojson({ kind: 'polygon', features: wigglyZones(25, 20, 9) })].join(''),
  );
  const random = rng(4);
  const place = (low: number, side: number): Float64Array =>
    Float64Array.from({ length: POINTS }, () => Number((low + side * random()).toFixed(6)));
  const [lon, lat] = [place(-92, 6.25), place(33, 5)];

  const t0 = clock();
  const source = pathSource(file('zones.geojson'));
  if (!source.ok) throw new Error(source.failure.what);
  const opened = await openSource(source.value);
  if (!opened.ok) throw new Error(opened.failure.what);
  const t1 = clock();
  const { content, notes } = mendOpened(opened.value, 'zone');
  if (content.kind !== 'polygon') throw new Error(content.kind);
  const read = zonesFrom(content.features, 'zone');
  if (!read.ok || notes.length + read.value.notes.length > 0)
    throw new Error('the zones are not as they were made');
  const { zones } = read.value;
  const t2 = clock();
  const { pairs } = adjacency(zones, SNAP);
  const t3 = clock();
  const found = zoneIndex(zones).zonesOf(lon, lat);
  const t4 = clock();

  let peerPairs: number | null = null;
  let peerPoints: number | null = null;
  if (spawnSync('ogr2ogr', ['--version']).status === 0) {
    const database = file('peer.sqlite');
    peerPairs = gdal(
      '-f',
      'SQLite',
      '-dsco',
      'SPATIALITE=YES',
      '-nln',
      'zones',
      database,
      file('zones.geojson'),
    );
    peerPairs += gdal(
      ...['-f', 'CSV', file('pairs.csv'), database, '-sql'],
      `SELECT a.zone AS a, b.zone AS b, ST_Length(ST_Intersection(a.geometry, b.geometry)) AS shared FROM zones a JOIN zones b
       ON b.ogc_fid > a.ogc_fid AND ST_Touches(a.geometry, b.geometry) AND b.ROWID IN
       (SELECT ROWID FROM SpatialIndex WHERE f_table_name = 'zones' AND search_frame = a.geometry)`,
    );
    const theirs = rows('pairs.csv')
      .map(([a, b, shared]) => `${a} ${b} ${Number(shared) > 0 ? 'edge' : 'corner'}`)
      .sort();
    const ours = pairs.map((p) => `${zones[p.a].key} ${zones[p.b].key} ${p.contact}`).sort();
    if (ours.join() !== theirs.join()) throw new Error('GDAL finds other pairs');

    writeFileSync(
      file('points.csv'),
      'id,lon,lat\n' + Array.from(lon, (x, i) => `${i},${x},${lat[i]}`).join('\n') + '\n',
    );
    gdal(
      ...['-f', 'SQLite', '-update', '-nln', 'points', '-gt', '200000', '-a_srs', 'EPSG:4326'],
      ...['-oo', 'X_POSSIBLE_NAMES=lon', '-oo', 'Y_POSSIBLE_NAMES=lat', '-oo', 'KEEP_GEOM_COLUMNS=NO'],
      database,
      file('points.csv'),
    );
    // Zones outside, so that each is prepared once.
    peerPoints = gdal(
      ...['-f', 'CSV', file('located.csv'), database, '-sql'],
      `SELECT p.id AS id, z.zone AS zone FROM zones z JOIN points p ON p.ROWID IN
       (SELECT ROWID FROM SpatialIndex WHERE f_table_name = 'points' AND search_frame = z.geometry)
       AND ST_Contains(z.geometry, p.geometry)`,
    );
    const located = rows('located.csv');
    const other = located.filter(([id, zone]) => zones[found[Number(id)]]?.key !== zone).length;
    const missed = found.filter((z) => z >= 0).length - located.length;
    // A point on a line is in one zone here and in none there.
    if (other > 0 || missed < 0 || missed > 10)
      throw new Error(`GDAL finds other zones: ${other} differ, ${missed} are missed`);
  }

  console.log(
    JSON.stringify({
      zones: {
        zones: zones.length,
        vertices: zones.reduce((n, z) => n + z.area.geometry[0][0].length, 0),
        file: 'GeoJSON',
        readMs: Math.round(t1 - t0),
        mendedAndJoinedMs: Math.round(t2 - t1),
        adjacencyMs: Math.round(t3 - t2),
        loadedAndAdjacency: peered(t3 - t0, peerPairs),
        pairs: pairs.length,
        pointsInZones: { points: POINTS, ...peered(t4 - t3, peerPoints) },
      },
    }),
  );
} finally {
  rmSync(folder, { recursive: true });
}
