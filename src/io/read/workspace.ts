import { fail, ok, type Result } from '../../domain/base/result.ts';
import { decodeText } from './text.ts';
import { readZip, type ZipFile } from './archives/zip.ts';

/** Unpacked bytes beyond which a file is refused rather than unpacked into memory. */
const MOST_BYTES = 1.5e9;

export interface UnpackedWorkspace {
  /** Not checked yet: see domain/plan/parse.ts. */
  readonly plan: unknown;
  readonly files: readonly ZipFile[];
}

/**
 * Opens a workspace file: a zip with plan.json and the files that it names. One folder around everything, as some programs
 * make when they pack again, is taken off. Refuses what is no zip, is damaged, has no plan.json, names paths outside of
 * itself, or states more bytes than `most`.
 */
export function unpackWorkspace(
  bytes: Uint8Array,
  name: string,
  most: number = MOST_BYTES,
): Result<UnpackedWorkspace> {
  const zip = readZip(bytes, name, most);
  if (!zip.ok) return zip;
  const folder = folderAround(zip.value);
  const files = zip.value.map((f) => ({ path: f.path.slice(folder.length), bytes: f.bytes }));
  const json = files.find((f) => f.path === 'plan.json');
  if (!json)
    return fail(
      'content',
      name,
      'holds no plan.json',
      'Choose a workspace file, or add data files in the Layers stage.',
    );
  try {
    const plan: unknown = JSON.parse(decodeText(json.bytes).text);
    return ok({ plan, files: files.filter((f) => f !== json) });
  } catch (error) {
    return fail(
      'format',
      `${name}, plan.json`,
      `is not valid JSON (${error instanceof Error ? error.message : String(error)})`,
      'Correct it where it was edited.',
    );
  }
}

/** "folder/" where every file lies in that one and plan.json directly, else ''. */
function folderAround(files: readonly ZipFile[]): string {
  const folder = /^[^/]+\/(?=plan\.json$)/.exec(files.find((f) => f.path.endsWith('/plan.json'))?.path ?? '');
  return folder && files.every((f) => f.path.startsWith(folder[0])) ? folder[0] : '';
}
