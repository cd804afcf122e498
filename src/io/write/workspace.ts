import { zipSync, type Zippable } from 'fflate';
import type { Plan } from '../../domain/plan/schema.ts';

/** What is packed already gains nothing from being packed again. */
const PACKED = /\.(tiff?|zip|jpe?g|png|pmtiles)$/i;
/** One fixed time for all entries: the same workspace gives the same bytes. In local time, as zip writes it, in any zone. */
const TIME = new Date('2026-01-01T00:00:00');

/**
 * A workspace as one file: a zip with plan.json first and every data file under its path.
 * @throws RangeError for two files of one path, or one that would take the place of plan.json.
 */
export function packWorkspace(
  plan: Plan,
  files: ReadonlyArray<{ readonly path: string; readonly bytes: Uint8Array }>,
): Uint8Array {
  const json = new TextEncoder().encode(JSON.stringify(plan, null, 2) + '\n');
  const entries: Zippable = { 'plan.json': [json, { level: 6, mtime: TIME }] };
  for (const { path, bytes } of files) {
    if (Object.hasOwn(entries, path)) throw new RangeError(`"${path}" is there twice`);
    entries[path] = [bytes, { level: PACKED.test(path) ? 0 : 6, mtime: TIME }];
  }
  return zipSync(entries);
}
