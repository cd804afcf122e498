/** Unpacking by the host: the same bytes as the library's, and the library has the last word. */
import { inflateSync } from 'node:zlib';
import { unzlibSync, zlibSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { nodeInflate } from '../../../src/cli/nodeInflate.ts';
import { hostInflate, type Inflate } from '../../../src/io/read/rasters/hostInflate.ts';

const bytes = Uint8Array.from({ length: 100_000 }, (_, i) => (i * i) >> 7);
const packed = zlibSync(bytes);

describe.each<[string, Inflate]>([
  ['a stream', hostInflate],
  ['Node', nodeInflate],
])('unpacking by %s', (_name, inflate) => {
  it('gives the bytes', async () => {
    expect(inflateSync(packed).equals(bytes)).toBe(true);
    for (const most of [bytes.length, bytes.length + 5000]) {
      const got = await inflate(packed, most);
      expect(got && Buffer.from(got).equals(bytes)).toBe(true);
    }
  });

  it('takes no more than it may, or refuses', async () => {
    const got = await inflate(packed, 50_000);
    if (got) expect(Buffer.from(got).equals(bytes.subarray(0, 50_000))).toBe(true);
  });

  it('refuses what is cut short or has another checksum, which the library may still read', async () => {
    expect(await inflate(packed.subarray(0, packed.length / 2), bytes.length)).toBeNull();
    const other = packed.slice();
    other[other.length - 1] ^= 1;
    expect(await inflate(other, bytes.length)).toBeNull();
    expect(unzlibSync(other, { out: new Uint8Array(bytes.length) }).length).toBe(bytes.length);
  });
});

describe('a few bytes', () => {
  it('are left to the library', async () => {
    expect(await hostInflate(zlibSync(bytes.subarray(0, 100)), 100)).toBeNull();
  });
});
