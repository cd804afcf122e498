import { describe, expect, it } from 'vitest';
import { createHash } from 'node:crypto';
import { ok } from '../../src/domain/base/result.ts';
import { fingerprint, HASHED_WHOLE } from '../../src/io/fingerprint.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import type { Source } from '../../src/io/source.ts';

describe('fingerprint', () => {
  it('is SHA-256 of the whole file, as other programs make it (FIPS 180-4, example "abc")', async () => {
    expect(await fingerprint(memorySource('abc', new TextEncoder().encode('abc')))).toEqual(
      ok({ size: 3, sha256: 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad' }),
    );
  });

  it('reads two MiB of a file of two GB and hashes both ends and the size (Node’s own hash beside it)', async () => {
    const size = 2_000_000_000;
    let asked = 0;
    const at = (i: number): number => (i * 7 + (i >> 9)) & 255;
    const big: Source = {
      name: 'big.tif',
      size,
      read: (offset, length) => {
        asked += length;
        return Promise.resolve(ok(Uint8Array.from({ length }, (_, i) => at(offset + i))));
      },
      readAll: () => Promise.reject(new Error('read whole')),
    };
    const result = await fingerprint(big);
    expect(asked).toBe(2 * 1024 * 1024);
    const MIB = 1024 * 1024;
    const end = (from: number) => Uint8Array.from({ length: MIB }, (_, i) => at(from + i));
    const expected = createHash('sha256')
      .update(end(0))
      .update(end(size - MIB))
      .update('2000000000')
      .digest('hex');
    expect(result).toEqual(ok({ size, sha256: expected }));
    expect(size).toBeGreaterThan(HASHED_WHOLE);
  });
});
