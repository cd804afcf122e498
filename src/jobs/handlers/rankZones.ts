/** The match surface summed up by zone. */
import { geodesicArea } from '../../domain/base/geodesy.ts';
import type { MultiPolygon, Place } from '../../domain/base/geo.ts';
import { localFrame } from '../../domain/base/localFrame.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import { smoothField } from '../../domain/base/smoothField.ts';
import type { Work } from '../../domain/base/work.ts';
import { metresToArea } from '../../domain/layers/metresToArea.ts';
import { cellsIn, spans, type Spans } from '../../domain/layers/spans.ts';
import { BINS, ZoneTally } from '../../domain/vetting/match/zoneTally.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';
import { outlineOn } from './outlines.ts';
import { centres, surfaceCells, surfaceGrid, type SurfaceGrid } from './surfaceCells.ts';
import { zonesLayer } from './zonesOn.ts';

/** Cells of zones that are compared at most; of more, every second (fourth, ...) column and row. */
export const MOST_CELLS = 20_000_000;
/** Cells of a grid on which the cells of zones are counted beforehand. */
const COUNTED = 4_000_000;

/**
 * Every cell belongs to the zone that holds its centre, of zones that lie over one another to the first. km² are of the
 * ground. Failures: no zones are open ('content'); those of the surface.
 */
export async function rankZones(
  desk: Desk,
  { spec, sites }: Jobs['rankZones']['input'],
  work: Work,
  most = MOST_CELLS,
): Promise<Result<Jobs['rankZones']['output']>> {
  const zones = zonesLayer(desk)?.zones;
  if (!zones || zones.length === 0)
    return fail('content', 'Zones', 'are not open', 'Add a layer of zones in the Layers stage.');
  const whole = surfaceGrid(desk, spec);
  if (!whole.ok) return whole;
  const { raster } = whole.value;

  const areas = zones.map((z) => z.area.geometry);
  const outlines: MultiPolygon[] = [];
  const metres: number[] = [];
  for (const [i, area] of areas.entries()) {
    outlines.push(outlineOn(raster, area));
    metres.push(Math.min(...sites.map((site) => metresToArea(area, site))));
    if (i % 8 === 7) await work.pause?.();
  }
  const step = stepFor(outlines, raster, most);
  const all = outlines.map((o) => runsOn(o, raster, step));
  const { grid, runs } = trimmed({ ...whole.value, step }, all);

  const tally = new ZoneTally(runs, grid.width);
  const read = await surfaceCells(
    desk,
    spec,
    grid,
    {
      ...work,
      progress: (done, total) => work.progress?.(done, total, 'rows of the match summed up by zone'),
    },
    ({ row, rows, match }) =>
      tally.add(row, match, cellKm2(grid, { left: 0, top: row, width: grid.width, height: rows })),
  );
  if (!read.ok) return read;

  const out: Array<Jobs['rankZones']['output']['zones'][number]> = [];
  for (const [zone, area] of areas.entries()) {
    // Of a zone that reaches beyond the cells the rest counts as unknown.
    const beyond = !within(outlines[zone], raster);
    const km2 = beyond ? Math.max(tally.km2[zone], geodesicArea(area) / 1e6) : tally.km2[zone];
    out.push({
      zone,
      knownKm2: tally.knownKm2[zone],
      km2,
      histogram: tally.histograms[zone],
      best: tally.best[zone],
      bestPlace: placeOf(grid, tally.bestCell[zone]),
      km: metres[zone] / 1000,
    });
    if (zone % 8 === 7) await work.pause?.();
  }
  return ok({ bins: BINS, zones: out, step, cellMetres: raster.cellMetres * step });
}

const runsOn = (outline: MultiPolygon, { width, height }: Raster, step: number): Spans =>
  spans(
    step === 1
      ? outline
      : outline.map((polygon) => polygon.map((ring) => ring.map(([c, r]) => [c / step, r / step] as const))),
    Math.ceil(width / step),
    Math.ceil(height / step),
  );

/** The power of two by which the cells of all zones come to `most` or less. */
function stepFor(outlines: readonly MultiPolygon[], raster: Raster, most: number): number {
  let coarse = 1;
  while ((raster.width / coarse) * (raster.height / coarse) > Math.min(COUNTED, most)) coarse *= 2;
  const cells = coarse ** 2 * outlines.reduce((n, o) => n + cellsIn(runsOn(o, raster, coarse)), 0);
  let step = 1;
  while (cells / step ** 2 > most) step *= 2;
  return step;
}

/** The part of the grid that zones lie in, and their cells counted in it. */
function trimmed(grid: SurfaceGrid, runs: readonly Spans[]): { grid: SurfaceGrid; runs: readonly Spans[] } {
  let [left, top, right, bottom] = [Infinity, Infinity, 0, 0];
  for (const zone of runs)
    for (let i = 0; i < zone.length; i += 3) {
      top = Math.min(top, zone[i]);
      bottom = Math.max(bottom, zone[i] + 1);
      left = Math.min(left, zone[i + 1]);
      right = Math.max(right, zone[i + 2]);
    }
  if (right === 0) return { grid: { ...grid, width: 0, height: 0 }, runs };
  return {
    grid: {
      ...grid,
      left: left * grid.step,
      top: top * grid.step,
      width: right - left,
      height: bottom - top,
    },
    runs: runs.map((zone) => zone.map((v, i) => v - (i % 3 === 0 ? top : left))),
  };
}

/** Ground under each cell of a part of the grid, row by row: middle lines of the cell on the ellipsoid, right to a millionth. */
function cellKm2(
  grid: SurfaceGrid,
  part: Pick<SurfaceGrid, 'left' | 'top' | 'width' | 'height'>,
): Float64Array {
  const { raster, step } = grid;
  const usual = (raster.cellMetres * step) ** 2 / 1e6;
  const [km2] = smoothField((x, y) => [areasAt(raster, step, x, y)], centres(grid, part), [1e-7 * usual]);
  return km2;
}

function areasAt(raster: Raster, step: number, x: Float64Array, y: Float64Array): Float64Array {
  const at = (dx: number, dy: number) =>
    raster.toPlace(
      x.map((v) => v + dx * step),
      y.map((v) => v + dy * step),
    );
  const [west, east, up, down] = [at(-0.5, 0), at(0.5, 0), at(0, -0.5), at(0, 0.5)];
  const turned = (degrees: number): number => degrees - 360 * Math.round(degrees / 360);
  return x.map((_, i) => {
    const { lonMetres, latMetres } = localFrame((west.lat[i] + east.lat[i]) / 2);
    const colEast = turned(east.lon[i] - west.lon[i]) * lonMetres;
    const colNorth = (east.lat[i] - west.lat[i]) * latMetres;
    const rowEast = turned(down.lon[i] - up.lon[i]) * lonMetres;
    const rowNorth = (down.lat[i] - up.lat[i]) * latMetres;
    return Math.abs(colEast * rowNorth - colNorth * rowEast) / 1e6;
  });
}

/** Whether all of an outline lies on the raster; one that goes round the earth has no end to the east or west. */
const within = (outline: MultiPolygon, { width, height, turn }: Raster): boolean =>
  outline.length > 0 &&
  outline.every((polygon) =>
    polygon.every((ring) =>
      ring.every(
        ([c, r]) => r >= 0 && r <= height && ((turn > 0 && width >= turn - 0.5) || (c >= 0 && c <= width)),
      ),
    ),
  );

function placeOf(grid: SurfaceGrid, cell: number): Place | null {
  if (cell < 0) return null;
  const { left, top, step } = centres(grid, { ...grid, left: 0, top: 0 });
  const { lon, lat } = grid.raster.toPlace(
    Float64Array.of(left + (cell % grid.width) * step),
    Float64Array.of(top + Math.floor(cell / grid.width) * step),
  );
  return { lon: lon[0], lat: lat[0] };
}
