/** World files: six numbers in text that say where the cells of a picture lie (.tfw beside .tif). */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import type { Affine } from './raster.ts';

const MOST = 4096;

/** From "a.tfw", "a.tifw" or "a.wld" beside "a.tif"; null where there is none. A file at an address is asked for each. */
export async function worldFileBeside(source: Source): Promise<Result<Affine | null>> {
  const [, stem, extension] = /^(.*)\.([^.]+)$/.exec(source.name) ?? [];
  if (stem === undefined || extension === undefined) return ok(null);
  const names = [`${extension[0]}${extension.at(-1) ?? ''}w`, `${extension}w`, 'wld'].map(
    (e) => `${stem}.${e}`,
  );
  for (const name of names) {
    const beside = await source.beside?.(name);
    if (!beside) continue;
    const bytes = await beside.read(0, MOST);
    if (!bytes.ok) return bytes;
    const text = new TextDecoder('latin1').decode(bytes.value);
    // Some hosts answer any address with a page.
    if (/^\s*</.test(text)) continue;
    return worldFile(text, name);
  }
  return ok(null);
}

/** Columns east, columns north, rows east, rows north (a step each), then the centre of the first cell. */
export function worldFile(text: string, file: string): Result<Affine> {
  const n = text
    .trim()
    .split(/\s+/)
    .map((word) => Number(/^[-+]?\d+,\d+$/.test(word) ? word.replace(',', '.') : word));
  const [b, e, c, f, x, y] = n;
  if (n.length < 6 || !n.slice(0, 6).every(Number.isFinite) || b * f - c * e === 0)
    return fail('format', file, 'is no world file (six numbers, a line each)', 'Get the file again.');
  return ok([x - b / 2 - c / 2, b, c, y - e / 2 - f / 2, e, f]);
}
