import { ok } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

/** Bytes that are in memory already. */
export function memorySource(
  name: string,
  bytes: Uint8Array,
  companions: ReadonlyArray<{ readonly name: string; readonly bytes: Uint8Array }> = [],
): Source {
  return {
    name,
    size: bytes.byteLength,
    read: (offset, length) =>
      Promise.resolve(ok(bytes.subarray(offset, Math.min(bytes.byteLength, offset + length)))),
    readAll: () => Promise.resolve(ok(bytes)),
    beside(wanted) {
      const found = companions.find((c) => c.name.toLowerCase() === wanted.toLowerCase());
      return Promise.resolve(found ? memorySource(found.name, found.bytes) : null);
    },
  };
}
