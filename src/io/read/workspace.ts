import { unzipSync } from 'fflate';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import { decodeText } from './text.ts';

/** Unpacked bytes beyond which a file is refused rather than unpacked into memory. */
const MOST_BYTES = 1.5e9;

export interface UnpackedWorkspace {
  /** Not checked yet: see domain/plan/parse.ts. */
  readonly plan: unknown;
  readonly files: ReadonlyArray<{ readonly path: string; readonly bytes: Uint8Array }>;
}

/** Opens a workspace file. Refuses what is no zip, has no plan.json, names paths outside of itself, or is too large. */
export function unpackWorkspace(bytes: Uint8Array, name: string): Result<UnpackedWorkspace> {
  let total = 0;
  let outside: string | null = null;
  let entries: Record<string, Uint8Array>;
  try {
    entries = unzipSync(bytes, {
      filter: (file) => {
        if (
          file.name.startsWith('/') ||
          /(^|[\\/])\.\.([\\/]|$)/.test(file.name) ||
          /^[a-z]:/i.test(file.name)
        )
          outside ??= file.name;
        total += file.originalSize;
        return total <= MOST_BYTES && outside === null && !file.name.endsWith('/');
      },
    });
  } catch (error) {
    return fail(
      'format',
      name,
      `is not a whole workspace file (${error instanceof Error ? error.message : String(error)})`,
      'Get the file again; a workspace file is a zip with plan.json in it.',
    );
  }
  if (outside !== null)
    return fail(
      'format',
      name,
      `names a path outside of itself ("${String(outside)}")`,
      'Do not use this file.',
    );
  if (total > MOST_BYTES)
    return fail(
      'content',
      name,
      `unpacks to ${Math.round(total / 1e6)} MB, more than ${MOST_BYTES / 1e6} MB`,
      'Keep large rasters outside and name them by address in the plan.',
    );
  const json = entries['plan.json'];
  if (!json)
    return fail(
      'content',
      name,
      'holds no plan.json',
      'Choose a workspace file, or add data files in the Layers stage.',
    );
  let plan: unknown;
  try {
    plan = JSON.parse(decodeText(json).text);
  } catch (error) {
    return fail(
      'format',
      `${name}, plan.json`,
      `is not valid JSON (${error instanceof Error ? error.message : String(error)})`,
      'Correct it where it was edited.',
    );
  }
  const files = Object.entries(entries)
    .filter(([path]) => path !== 'plan.json')
    .map(([path, content]) => ({ path, bytes: content }));
  return ok({ plan, files });
}
