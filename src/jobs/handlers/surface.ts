/** The match of every cell of the finest of the variables' grids, as a GeoTIFF. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { openGeotiff } from '../../io/write/geotiff.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';
import { surfaceCells, surfaceGrid } from './surfaceCells.ts';

export async function surface(
  desk: Desk,
  input: Jobs['surface']['input'],
  work: Work,
): Promise<Result<Jobs['surface']['output']>> {
  const file = await surfaceFile(desk, input, work);
  return file.ok ? ok(new Blob([...file.value], { type: 'image/tiff' })) : file;
}

/**
 * The same in pieces, to be written one behind the other.
 * @param seen is shown all cells on their way into the file, some rows at a time.
 */
export async function surfaceFile(
  desk: Desk,
  { spec, about }: Jobs['surface']['input'],
  work: Work,
  seen: (match: Float32Array) => void = () => undefined,
): Promise<Result<ReadonlyArray<Uint8Array<ArrayBuffer>>>> {
  const grid = surfaceGrid(desk, spec);
  if (!grid.ok) return grid;
  const { width, height, transform, system: crs } = grid.value.raster;
  const file = openGeotiff({ width, height, transform, crs }, about, work);
  // A strip is packed while the next one is read and computed.
  let packed = Promise.resolve();
  const read = await surfaceCells(desk, spec, grid.value, work, ({ match }) => {
    seen(match);
    const before = packed;
    packed = before.then(() => file.rows(match));
    // Heard with the next strip, or at the end.
    packed.catch(() => undefined);
    return before;
  });
  if (!read.ok) return read;
  await packed;
  return ok(await file.end());
}
