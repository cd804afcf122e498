import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

/** A File or Blob of the browser, read by slices: a 2 GB file is never in memory whole. */
export function blobSource(
  name: string,
  blob: Blob,
  companions: ReadonlyArray<{ readonly name: string; readonly blob: Blob }> = [],
): Source {
  const slice = async (from: number, to: number): Promise<Result<Uint8Array>> => {
    try {
      return ok(new Uint8Array(await blob.slice(from, to).arrayBuffer()));
    } catch (error) {
      // The usual reason: the file on disk was moved, changed or deleted after it was chosen.
      const why = error instanceof Error ? error.message : String(error);
      return fail('unreadable', name, `can no longer be read (${why})`, 'Add the file again.');
    }
  };
  return {
    name,
    size: blob.size,
    read: (offset, length) => slice(offset, offset + length),
    readAll: () => slice(0, blob.size),
    beside(wanted) {
      const found = companions.find((c) => c.name.toLowerCase() === wanted.toLowerCase());
      return Promise.resolve(found ? blobSource(found.name, found.blob) : null);
    },
  };
}
