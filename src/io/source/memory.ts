import { ok } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

/** Bytes that are in memory already. */
export function memorySource(name: string, bytes: Uint8Array): Source {
  return {
    name,
    size: bytes.byteLength,
    read: (offset, length) =>
      Promise.resolve(ok(bytes.subarray(offset, Math.min(bytes.byteLength, offset + length)))),
    readAll: () => Promise.resolve(ok(bytes)),
  };
}
