/**
 * The match surface: six rasters of 4096 x 4096, against the same sums in gdal_calc.py (NumPy) where it is installed; the map
 * drawn anew for a moved site; 500 zones. JSON on standard output.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { nodeDeflate } from '../../src/cli/nodeDeflate.ts';
import { nodeInflate } from '../../src/cli/nodeInflate.ts';
import { pathSource } from '../../src/cli/pathSource.ts';
import { writePieces } from '../../src/cli/writePieces.ts';
import type { Result } from '../../src/domain/base/result.ts';
import { rng } from '../../src/domain/base/rng.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { SurfaceSpec } from '../../src/domain/vetting/match/types.ts';
import { crsFrom } from '../../src/io/crs/crs.ts';
import { useInflate } from '../../src/io/read/rasters/hostInflate.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { openGeotiff } from '../../src/io/write/geotiff.ts';
import { useDeflate } from '../../src/io/write/hostDeflate.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { rankZones } from '../../src/jobs/handlers/rankZones.ts';
import { surfaceFile } from '../../src/jobs/handlers/surface.ts';
import { surfaceCells, surfaceGrid } from '../../src/jobs/handlers/surfaceCells.ts';
import { surfacePixels } from '../../src/jobs/handlers/surfaceTile.ts';

const SIDE = 4096;
const CELL = 30;
const [LEFT, TOP] = [1_000_000, 1_900_000];
const IDS = [
  'elevation',
  'mean-annual-temperature',
  'coldest-month-temperature',
  'warmest-month-temperature',
  'annual-precipitation',
  'frost-free-period',
];
const K = IDS.length;
const clock = (): number => performance.now();
const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(result.failure.what);
  return result.value;
};
/** How long it took and what came of it. */
async function timed<T>(work: () => Promise<T>): Promise<{ ms: number; value: T }> {
  const start = clock();
  const made = await work();
  return { ms: Math.round(clock() - start), value: made };
}
const megabytes = (): number => Math.round(process.resourceUsage().maxRSS / 1000);

/** Smooth ground with a little noise, to a tenth as climate is published. */
async function raster(path: string, k: number): Promise<void> {
  const random = rng(k + 1);
  const crs = value(await crsFrom('EPSG:5070', 'bench'));
  const file = openGeotiff(
    { width: SIDE, height: SIDE, transform: [LEFT, CELL, 0, TOP, 0, -CELL], crs },
    { title: IDS[k], notice: '', lines: {} },
  );
  const along = Float64Array.from({ length: SIDE }, (_, x) => 300 * Math.sin(x / (570 + 113 * k)));
  for (let y = 0; y < SIDE; y++) {
    const down = 1000 + 10 * k + 200 * Math.cos(y / (455 + 117 * k));
    await file.rows(
      Float32Array.from(along, (v, x) => {
        const fold = 40 * Math.sin((x * (k + 2) + y) / 231);
        return Math.round(10 * (v + down + fold + 4 * random())) / 10;
      }),
    );
  }
  writeFileSync(path, Buffer.concat(await file.end()));
}

/** Sides of W are such that the match runs through all of 0 to 1. */
const WHITENING = Float64Array.from({ length: K * K }, (_, i) => (((i * 7919) % 13) - 6) / 1500);
const specOf = (moved: number): SurfaceSpec => ({
  key: `bench ${moved}`,
  variables: IDS.map((layer) => ({ layer, transform: 'identity' })),
  whitening: WHITENING,
  kept: K,
  sites: [
    Float64Array.from({ length: K }, (_, r) =>
      IDS.reduce((sum, _id, v) => sum + WHITENING[r * K + v] * (1000 + 10 * v + moved), 0),
    ),
  ],
});

/** The same sums in NumPy, in doubles as here; for six variables the tail of chi-square is exp(-h) (1 + h + h²/2), h = D²/2. */
function expression({ whitening, sites }: SurfaceSpec): string {
  const names = 'ABCDEF';
  const rows = Array.from(
    { length: K },
    (_, r) =>
      `(${Array.from(names, (n, v) => `${whitening[r * K + v]}*${n}.astype(float)`).join('+')}-${sites[0][r]})**2`,
  );
  return `(lambda h: exp(-h)*(1+h*(1+0.5*h)))(0.5*(${rows.join('+')}))`.replaceAll('+-', '-');
}

const has = (command: string, args: string[]): boolean =>
  spawnSync(command, args, { stdio: 'ignore' }).status === 0;

const folder = mkdtempSync(join(tmpdir(), 'surface-'));
try {
  useInflate(nodeInflate);
  useDeflate(nodeDeflate);
  const plain = IDS.map((id) => join(folder, `${id}.tif`));
  const gdal = has('gdal_calc.py', ['--help']) && has('gdal_translate', ['--version']);
  const paths = gdal ? IDS.map((id) => join(folder, `${id}-cog.tif`)) : plain;
  for (const [k, path] of plain.entries()) {
    await raster(path, k);
    // As GDAL writes them: blocks of 512.
    const options = ['COMPRESS=DEFLATE', 'PREDICTOR=YES', 'BLOCKSIZE=512'].flatMap((o) => ['-co', o]);
    if (gdal) spawnSync('gdal_translate', ['-q', '-of', 'COG', ...options, path, paths[k]]);
  }

  const plan = value(
    parsePlan(
      {
        kinstand: 1,
        title: 'Bench',
        layers: [
          ...IDS.map((id) => ({ id, definition: id, path: `${id}.tif` })),
          { id: 'zones', definition: 'zones', path: 'zones.geojson', key: 'zone' },
        ],
        plantings: [],
      },
      'bench',
    ),
  );
  const open = async (desk: ReturnType<typeof createDesk>): Promise<void> => {
    for (const [k, path] of paths.entries())
      value(await openLayer(desk, plan.layers[k], value(pathSource(path)), {}));
  };
  const spec = specOf(0);

  // All of it: files opened, read, computed, and the answer written.
  const desk = createDesk();
  const about = { title: 'Match', notice: '', lines: {} };
  const whole = async (): Promise<void> => {
    await open(desk);
    await writePieces(join(folder, 'match.tif'), value(await surfaceFile(desk, { spec, about }, {})));
  };
  const calc = (): void => {
    const inputs = paths.flatMap((path, k) => [`-${'ABCDEF'[k]}`, path]);
    const options = ['COMPRESS=DEFLATE', 'PREDICTOR=3', 'TILED=YES'].flatMap((o) => ['--co', o]);
    const answer = spawnSync(
      'gdal_calc.py',
      [
        ...inputs,
        `--calc=${expression(spec)}`,
        `--outfile=${join(folder, 'peer.tif')}`,
        '--type=Float32',
        '--overwrite',
        '--quiet',
        ...options,
      ],
      { encoding: 'utf8' },
    );
    if (answer.status !== 0) throw new Error(answer.stderr);
  };
  // In turns, so that what else the machine does falls on both; the better of three each.
  const ours: number[] = [];
  const theirs: number[] = [];
  for (let i = 0; i < 3; i++) {
    ours.push((await timed(whole)).ms);
    if (gdal) theirs.push((await timed(async () => Promise.resolve(calc()))).ms);
  }
  const peakRssMb = megabytes();
  const [ms, peerMs] = [Math.min(...ours), Math.min(...theirs)];

  // Without opening and writing.
  const grid = value(surfaceGrid(desk, spec));
  const cells = await timed(() => surfaceCells(desk, spec, grid, {}, () => undefined));

  // 500 zones that cover the whole, with wavy borders.
  const { raster: own } = grid;
  const at = (c: number, r: number): [number, number] => {
    const wave = 20 * Math.sin((c + r) / 37);
    const { lon, lat } = own.toPlace(Float64Array.of(c + wave), Float64Array.of(r + wave));
    return [lon[0], lat[0]];
  };
  const features = Array.from({ length: 500 }, (_, i) => {
    const [w, h] = [SIDE / 25, SIDE / 20];
    const [c, r] = [(i % 25) * w, Math.floor(i / 25) * h];
    const shares = Array.from({ length: 50 }, (__, s) => s / 50);
    const ring = [
      ...shares.map((t) => at(c + t * w, r)),
      ...shares.map((t) => at(c + w, r + t * h)),
      ...shares.map((t) => at(c + w - t * w, r + h)),
      ...shares.map((t) => at(c, r + h - t * h)),
    ];
    return {
      type: 'Feature',
      properties: { zone: `Z${i}` },
      geometry: { type: 'Polygon', coordinates: [[...ring, ring[0]]] },
    };
  });
  const text = new TextEncoder().encode(JSON.stringify({ type: 'FeatureCollection', features }));
  value(await openLayer(desk, plan.layers[K], memorySource('zones.geojson', text), {}));
  const [lon, lat] = at(SIDE / 2, SIDE / 2);
  const ranked = await timed(() => rankZones(desk, { spec, sites: [{ lon, lat }] }, {}));
  value(ranked.value);

  // A megapixel of the map about the middle: 4 x 4 tiles, cells and pixels about alike.
  const z = 12;
  const n = 2 ** z;
  const x0 = Math.floor(((lon + 180) / 360) * n) - 2;
  const y0 = Math.floor(((1 - Math.asinh(Math.tan((lat * Math.PI) / 180)) / Math.PI) / 2) * n) - 2;
  const draw = (moved: number) =>
    timed(async () => {
      for (let t = 0; t < 16; t++) {
        const input = {
          spec: specOf(moved),
          scheme: 'light',
          least: 0.05,
          z,
          x: x0 + (t % 4),
          y: y0 + (t >> 2),
        } as const;
        value(await surfacePixels(desk, input));
      }
    });
  const first = await draw(0);
  const moved = [await draw(5), await draw(10), await draw(15)].map((d) => d.ms);

  console.log(
    JSON.stringify({
      surface: {
        rasters: `${K} x ${SIDE} x ${SIDE}, 32-bit floats, deflate, ${gdal ? 'blocks of 512 by gdal_translate' : 'blocks of 256'}`,
        peer: gdal ? 'gdal_calc.py, the better of three runs in turns' : 'gdal_calc.py is not installed',
        ms,
        ...(gdal ? { peerMs, ratio: Number((ms / peerMs).toFixed(2)) } : {}),
        peakRssMb,
        cellsAloneMs: cells.ms,
        zones: 500,
        zonesMs: ranked.ms,
        sixteenTilesFirstMs: first.ms,
        sixteenTilesMovedSiteMs: Math.min(...moved),
      },
    }),
  );
} finally {
  rmSync(folder, { recursive: true });
}
