/**
 * A raster that is computed from the cells of another, block by block when it is asked for: slope, northness, eastness,
 * relative position (domain/layers/derivations.ts). Sampling, pictures and the rest are blockRaster.ts's.
 */
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { circleOf, type Circle, type Step } from '../../../domain/layers/cellStep.ts';
import type { Derivation } from '../../../domain/layers/definition.ts';
import { tiltOf } from '../../../domain/layers/terrain.ts';
import {
  hornInto,
  overCircleInto,
  overNeighboursInto,
  runningSums,
} from '../../../domain/layers/terrainCells.ts';
import { BlockRaster } from './blockRaster.ts';
import { freshKey } from './blocks.ts';
import { groundCells } from './groundCells.ts';
import { groundSteps, type GroundSteps } from './groundSteps.ts';
import { cutInto, partOf, type Cut, type Level } from './levels.ts';

export interface Deriving {
  readonly derivation: Derivation;
  /** Relative position: metres about a place that it is compared with; 0: the eight neighbouring cells. */
  readonly radius: number;
}

/** Cells along a side of a block. */
const SIDE = 256;
/** Cells of a row that share one step: on a stretched grid of 30 m it changes by 1e-4 within so few, on others not at all. */
const ALIKE = 64;
/** A circle reaches so many cells at most: farther ones would take a second a block. */
const FARTHEST = 500;
/** From an elevation raster of more cells, pictures are made of its overviews: all of its cells would take seconds. */
export const MANY_CELLS = 4e6;

/**
 * @param ground elevations in metres in one of its bands (1-based). @param name as messages name the new raster.
 * Fails where the radius holds no other cell, or too many.
 */
export function derivedRaster(
  ground: BlockRaster,
  band: number,
  how: Deriving,
  name: string,
  side = SIDE,
): Result<BlockRaster> {
  const { width, height, transform, system } = ground;
  const steps = groundSteps(system, transform, width, height);
  if (how.derivation === 'relative position' && how.radius > 0) {
    const step = steps.at(width / 2, height / 2);
    const { cols, rows, cells } = circleOf(step, how.radius);
    const cell = Math.min(Math.hypot(step.colEast, step.colNorth), Math.hypot(step.rowEast, step.rowNorth));
    if (cells === 0)
      return fail(
        'content',
        name,
        `compares with the ground within ${plain(how.radius)} m, in which lies no other cell: they are ${plain(cell)} m apart`,
        `Give a radius of at least ${Math.ceil(cell)} m, or none for the eight cells around.`,
      );
    if (Math.max(cols, rows) > FARTHEST)
      return fail(
        'content',
        name,
        `compares with the ground within ${plain(how.radius)} m, which is more than ${FARTHEST} cells of ${plain(cell)} m`,
        'Give a smaller radius, or take it from a raster of larger cells.',
      );
  }
  const key = freshKey(name);
  const full = ground.levels[0];
  const overviews = full.width * full.height > MANY_CELLS ? ground.levels.slice(1) : [];
  const levels = [full, ...overviews].map((level, i) =>
    derivedLevel(ground, level, band, how, steps, `${key}/${i}`, side),
  );
  const meta = { nodata: null, scale: 1, offset: 0, dtype: 'Float32', description: '' };
  const raster = new BlockRaster(name, key, levels, [meta], system, transform, ground.cache);
  raster.notes = notesOf(raster, how.derivation, steps, overviews.length > 0, name);
  return ok(raster);
}

function derivedLevel(
  { bands, cache, width, height }: BlockRaster,
  level: Level,
  band: number,
  { derivation, radius }: Deriving,
  steps: GroundSteps,
  key: string,
  side: number,
): Level {
  const cut: Cut = cutInto(level.width, level.height, side, side);
  const [wide, high] = [width / level.width, height / level.height];
  /** At a position in this level's own cells, which may be larger than the raster's. */
  const stepAt = (col: number, row: number): Step => {
    const s = steps.at(col * wide, row * high);
    return {
      colEast: s.colEast * wide,
      colNorth: s.colNorth * wide,
      rowEast: s.rowEast * high,
      rowNorth: s.rowNorth * high,
    };
  };
  /** Most steps are those of the cells before. */
  let last: { readonly step: Step; readonly circle: Circle | null } | null = null;
  const circleAt = (step: Step): Circle | null => {
    if (derivation !== 'relative position' || radius === 0) return null;
    if (last && sameStep(last.step, step)) return last.circle;
    const circle = circleOf(step, radius);
    // Cells larger than the circle: the eight around are the nearest to it that there is.
    last = { step, circle: circle.cells > 0 ? circle : null };
    return last.circle;
  };

  const decode = async (block: number): Promise<Float32Array> => {
    const { left, top, right, bottom } = partOf(cut, block);
    // Runs of cells that share a step, row by row; cut at the same columns whatever the blocks are.
    const runs: Array<{ row: number; from: number; to: number; step: Step; circle: Circle | null }> = [];
    let [cols, rows] = [1, 1];
    for (let row = top; row < bottom; row++)
      for (let from = left; from < right;) {
        const start = from - (from % ALIKE);
        const to = Math.min(right, start + ALIKE);
        const step = stepAt((start + Math.min(cut.width, start + ALIKE)) / 2, row + 0.5);
        const circle = circleAt(step);
        if (circle) [cols, rows] = [Math.max(cols, circle.cols), Math.max(rows, circle.rows)];
        runs.push({ row, from, to, step, circle });
        from = to;
      }
    const window = [left - cols, top - rows, right + cols, bottom + rows] as const;
    const ground = await groundCells(level, band - 1, bands[band - 1], cache, window);
    const sums = runs.some((r) => r.circle) ? runningSums(ground) : null;
    const out = new Float32Array((right - left) * (bottom - top));
    for (const { row, from, to, step, circle } of runs) {
      const [r, c] = [row - top + rows, from - left + cols];
      const n = to - from;
      const at = r * ground.stride + c;
      const outAt = (row - top) * (right - left) + from - left;
      if (derivation !== 'relative position') hornInto(derivation, ground, at, n, tiltOf(step), out, outAt);
      else if (circle && sums) overCircleInto(ground, sums, circle, r, c, n, out, outAt);
      else overNeighboursInto(ground, at, n, out, outAt);
    }
    return out;
  };
  return {
    ...cut,
    key,
    together: 1,
    cellBytes: 4,
    mask: null,
    decode: async (block) => [await decode(block)],
  };
}

const sameStep = (a: Step, b: Step): boolean =>
  a.colEast === b.colEast &&
  a.colNorth === b.colNorth &&
  a.rowEast === b.rowEast &&
  a.rowNorth === b.rowNorth;

/** What differs from one such layer to the next; what holds for all is said by derivations.ts. */
function notesOf(
  raster: BlockRaster,
  derivation: Derivation,
  steps: GroundSteps,
  overviews: boolean,
  where: string,
): Note[] {
  const notes: string[] = [];
  if (steps.stretched > 0)
    notes.push(
      `its grid (${raster.crs}) is off from lengths on the ground by up to ${plain(100 * steps.stretched)} %, so lengths are taken on the ground`,
    );
  const faces = derivation === 'northness' || derivation === 'eastness';
  const turn = faces ? convergence(raster) : 0;
  if (Math.abs(turn) >= 1)
    notes.push(
      `north is the grid's: ${plain(Math.abs(turn))}° ${turn > 0 ? 'east' : 'west'} of true north in its middle`,
    );
  if (overviews)
    notes.push(
      derivation === 'relative position'
        ? 'from afar the map is drawn from coarser ground, which tells wide ridges and hollows; what is measured is taken from full cells'
        : 'from afar the map is drawn from coarser ground, on which slopes are gentler; what is measured is taken from full cells',
    );
  return notes.map((what) => ({ where, what }));
}

/** Degrees by which the grid's north lies clockwise of true north, in the raster's middle. */
function convergence({ system, transform, width, height }: BlockRaster): number {
  if (system.geographic) return 0;
  const [a, b, c, d, e, f] = transform;
  const x = a + (b * width) / 2 + (c * height) / 2;
  const y = d + (e * width) / 2 + (f * height) / 2;
  const half = Math.hypot(c, f) / 2;
  const [lon1, lat1] = system.inverseOne(x, y - half);
  const [lon2, lat2] = system.inverseOne(x, y + half);
  const east = (lon2 - lon1) * Math.cos((lat1 * Math.PI) / 180);
  return (Math.atan2(east, lat2 - lat1) * 180) / Math.PI;
}

const plain = (x: number): number => Number(x.toPrecision(2));
