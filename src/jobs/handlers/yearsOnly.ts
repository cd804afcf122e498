import { ok, type Result } from '../../domain/base/result.ts';
import { yearIn } from '../../domain/layers/years.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';

/** Values that are years; others (0, a mark of "never") become missing, in place. */
function years<A extends Float32Array | Float64Array>(read: Result<A>): Result<A> {
  if (!read.ok) return read;
  const { value } = read;
  for (let i = 0; i < value.length; i++) value[i] = yearIn(value[i]);
  return ok(value);
}

/** The same raster where it holds a year, and missing elsewhere: so it is measured, drawn and told by figures. */
export function yearsOnly(raster: Raster): Raster {
  const own: Partial<Raster> = {
    sample: async (...asked) => years(await raster.sample(...asked)),
    cells: async (...asked) => years(await raster.cells(...asked)),
    window3: async (...asked) => years(await raster.window3(...asked)),
    picture: async (...asked) => years(await raster.picture(...asked)),
    inUnit: (factor, offset) => yearsOnly(raster.inUnit(factor, offset)),
  };
  return new Proxy(raster, {
    get(of, name) {
      const value: unknown = own[name as keyof Raster] ?? Reflect.get(of, name, of);
      return typeof value === 'function' ? (value.bind(of) as unknown) : value;
    },
  });
}
