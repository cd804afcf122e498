/** Coordinates along an axis of a NetCDF grid. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import { NC_BYTES, numberAt, type NcHeader, type NcVariable } from './netcdfHeader.ts';

/** Values of one axis at most. */
const MOST = 1 << 22;
/** Records that are read one by one for the values of a growing axis: each is a read of its own. */
const MOST_RECORDS = 2000;
const MOST_RECORDS_BY_ADDRESS = 100;

/** All values of a variable of one dimension; null where they lie in too many places to be read one by one. */
export async function axisValues(
  source: Source,
  header: NcHeader,
  variable: NcVariable,
): Promise<Result<Float64Array | null>> {
  const { size } = header.dimensions[variable.dimensions[0]];
  const { type, begin } = variable;
  const width = NC_BYTES[type];
  const cut = () =>
    fail(
      'format',
      source.name,
      `is damaged or cut short (${variable.name} is not whole)`,
      'Get the file again.',
    );
  if (size > MOST)
    return fail('format', source.name, `has an axis of ${size} values`, 'Convert it to GeoTIFF.');
  const out = new Float64Array(size);
  if (variable.record && header.recordBytes > width) {
    if (size > (source.url === undefined ? MOST_RECORDS : MOST_RECORDS_BY_ADDRESS)) return ok(null);
    for (let i = 0; i < size; i++) {
      const bytes = await source.read(begin + i * header.recordBytes, width);
      if (!bytes.ok) return bytes;
      if (bytes.value.length < width) return cut();
      out[i] = numberAt(viewOf(bytes.value), type, 0);
    }
    return ok(out);
  }
  if (source.size !== null && begin + size * width > source.size) return cut();
  const bytes = await source.read(begin, size * width);
  if (!bytes.ok) return bytes;
  if (bytes.value.length < size * width) return cut();
  const view = viewOf(bytes.value);
  for (let i = 0; i < size; i++) out[i] = numberAt(view, type, i * width);
  return ok(out);
}

export const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

/** Share of a cell by which a centre may be off its place on an even axis. */
const TOLERANCE = 0.01;

/**
 * Start (outer edge of the first cell) and step of an axis of cell centres; null where they are not evenly spaced.
 * @param single values are stored as 32-bit floats: rounding of the largest of them is allowed for.
 */
export function evenly(
  values: Float64Array,
  single: boolean,
): { readonly start: number; readonly step: number } | null {
  const n = values.length;
  if (n < 2) return null;
  const step = (values[n - 1] - values[0]) / (n - 1);
  if (!Number.isFinite(step) || step === 0) return null;
  const largest = Math.max(Math.abs(values[0]), Math.abs(values[n - 1]));
  const allowed = Math.abs(step) * TOLERANCE + (single ? largest * 2 ** -23 : 0);
  for (let i = 0; i < n; i++) if (!(Math.abs(values[i] - (values[0] + i * step)) <= allowed)) return null;
  return { start: values[0] - step / 2, step };
}
