/** By what a file is known again: its size, and a hash of its content. */
import { ok, type Result } from '../domain/base/result.ts';
import type { Fingerprint } from '../domain/plan/relink.ts';
import type { Source } from './source.ts';

/** Up to this size the whole file is hashed. */
export const HASHED_WHOLE = 64 * 1024 * 1024;
const END = 1024 * 1024;

/**
 * SHA-256 (FIPS 180-4) of the file's bytes up to 64 MiB. A larger file is not read whole: its hash is that of its first MiB,
 * its last MiB and its size as decimal digits, one after the other. A change that leaves both ends and the size as they were
 * is then not noticed.
 */
export async function fingerprint(source: Source): Promise<Result<Fingerprint>> {
  const size = source.size ?? 0;
  const parts: Uint8Array[] = [];
  const ranges: ReadonlyArray<readonly [number, number]> =
    size <= HASHED_WHOLE
      ? [[0, size]]
      : [
          [0, END],
          [size - END, END],
        ];
  for (const [offset, length] of ranges) {
    const read = await source.read(offset, length);
    if (!read.ok) return read;
    parts.push(read.value);
  }
  if (size > HASHED_WHOLE) parts.push(new TextEncoder().encode(String(size)));
  // Absent outside secure contexts, whatever the types say.
  const subtle = globalThis.crypto?.subtle as SubtleCrypto | undefined;
  if (!subtle) return ok({ size, sha256: '' });
  const bytes =
    parts.length === 1 ? parts[0] : new Uint8Array(await new Blob(parts as BlobPart[]).arrayBuffer());
  const hash = new Uint8Array(await subtle.digest('SHA-256', bytes as BufferSource));
  return ok({ size, sha256: [...hash].map((b) => b.toString(16).padStart(2, '0')).join('') });
}
