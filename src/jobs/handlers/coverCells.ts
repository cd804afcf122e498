import type { Place, Ring } from '../../domain/base/geo.ts';
import { ok, type Result } from '../../domain/base/result.ts';
import { GROUNDS, type Ground } from '../../domain/layers/landcover.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { OpenLayer } from './desk.ts';
import { groundsOf, NOTHING, pixelsOf } from './ground.ts';

export interface CoverCells {
  /** How many of them count. */
  readonly counted: number;
  /** Cells by the kind of ground that they count as, null as nothing; each cell or run of cells a ring of corners. */
  readonly grounds: ReadonlyArray<{
    readonly ground: Ground | null;
    readonly cells: number;
    readonly rings: readonly Ring[];
    /** In the middle of one of them, near the middle of all but clear of the place itself. */
    readonly middle: Place;
  }>;
}

/** More cells than this are told in runs along their rows. */
const MOST_SINGLE = 400;

/** The cells that coverAt counts about one place; null where no layer has a value at the place. */
export async function coverCells(
  layers: readonly OpenLayer[],
  { lon, lat }: Place,
  metres: number,
): Promise<Result<CoverCells | null>> {
  let found: CoverCells | null = null;
  for (const layer of layers) {
    const at = pixelsOf(layer, Float64Array.of(lon), Float64Array.of(lat), () => true);
    if (!at) continue;
    const { raster, band, col, row } = at;
    const table = groundsOf(layer);
    const cover = await raster.sample(band, col, row, 'nearest');
    if (!cover.ok) return cover;
    const known = (table[cover.value[0]] ?? NOTHING) !== NOTHING;
    if (!known && (found !== null || Number.isNaN(cover.value[0]))) continue;
    const cells = await raster.cellsWithin(band, col[0], row[0], metres);
    if (!cells.ok) return cells;
    found = byGround(cells.value, table, raster, {
      col: col[0],
      row: row[0],
      reach: metres / raster.cellMetres,
    });
    if (known) break;
  }
  return ok(found);
}

function byGround(
  cells: ReadonlyArray<readonly [number, number, number]>,
  table: Uint8Array,
  raster: Raster,
  at: { readonly col: number; readonly row: number; readonly reach: number },
): CoverCells {
  const kinds = new Map<number, Array<readonly [col: number, row: number]>>();
  for (const [col, row, code] of cells) {
    const kind = table[code] ?? NOTHING;
    const own = kinds.get(kind);
    if (own) own.push([col, row]);
    else kinds.set(kind, [[col, row]]);
  }
  const single = cells.length <= MOST_SINGLE;
  const grounds = [...kinds].map(([kind, own]) => {
    const mean = [0, 1].map((axis) => own.reduce((sum, cell) => sum + cell[axis], 0) / own.length);
    const off = ([c, r]: readonly [number, number]): number => Math.hypot(c - mean[0], r - mean[1]);
    const clear = own.filter(([c, r]) => Math.hypot(c + 0.5 - at.col, r + 0.5 - at.row) > at.reach / 2);
    // Of two that are as good the lower one: above the tree stands its name.
    const [c, r] = (clear.length > 0 ? clear : own).reduce((best, cell) =>
      off(cell) <= off(best) ? cell : best,
    );
    const middle = raster.toPlace(Float64Array.of(c + 0.5), Float64Array.of(r + 0.5));
    return {
      ground: GROUNDS[kind] ?? null,
      cells: own.length,
      rings: runsOf(own, single).map((run) => corners(run, raster)),
      middle: { lon: middle.lon[0], lat: middle.lat[0] },
    };
  });
  return { counted: cells.length - (kinds.get(NOTHING)?.length ?? 0), grounds };
}

/** Cells side by side as [row, first column, last column]. @param single each by itself. */
function runsOf(
  cells: ReadonlyArray<readonly [col: number, row: number]>,
  single: boolean,
): Array<readonly [number, number, number]> {
  const runs: Array<readonly [number, number, number]> = [];
  for (const [col, row] of cells) {
    const last = runs.at(-1);
    if (!single && last?.[0] === row && last[2] === col - 1) runs[runs.length - 1] = [row, last[1], col];
    else runs.push([row, col, col]);
  }
  return runs;
}

function corners([row, from, to]: readonly [number, number, number], raster: Raster): Ring {
  const { lon, lat } = raster.toPlace(
    Float64Array.of(from, to + 1, to + 1, from, from),
    Float64Array.of(row, row, row + 1, row + 1, row),
  );
  return Array.from(lon, (x, i) => [x, lat[i]] as const);
}
