import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { unpackLzw } from '../../../src/io/read/rasters/lzw.ts';
import { unpackBits } from '../../../src/io/read/rasters/packBits.ts';

/** Packs as TIFF 6.0, section 13, describes it in its own words: for the test only, slow and plain. */
function packLzw(bytes: Uint8Array): Uint8Array {
  const codes: Array<[code: number, bits: number]> = [];
  let table = new Map<string, number>();
  let width = 9;
  const clear = (): void => {
    codes.push([256, width]);
    table = new Map(Array.from({ length: 256 }, (_, c) => [String(c), c]));
    width = 9;
  };
  clear();
  let next = 258;
  let omega = '';
  for (const k of bytes) {
    const longer = omega === '' ? String(k) : `${omega},${k}`;
    if (table.has(longer)) {
      omega = longer;
      continue;
    }
    codes.push([table.get(omega) ?? -1, width]);
    table.set(longer, next++);
    // "As soon as we add table entry 511, we switch to 10-bit codes", and so on; at 4094 the table is written off.
    if (next - 1 === 511 || next - 1 === 1023 || next - 1 === 2047) width++;
    if (next - 1 === 4094) {
      clear();
      next = 258;
    }
    omega = String(k);
  }
  if (omega !== '') codes.push([table.get(omega) ?? -1, width]);
  codes.push([257, width]);
  const out: number[] = [];
  let held = 0;
  let have = 0;
  for (const [code, bits] of codes) {
    held = (held << bits) | code;
    have += bits;
    while (have >= 8) {
      out.push((held >> (have - 8)) & 255);
      have -= 8;
      held &= (1 << have) - 1;
    }
  }
  if (have > 0) out.push((held << (8 - have)) & 255);
  return Uint8Array.from(out);
}

describe('LZW', () => {
  it('the example of the standard', () => {
    // TIFF 6.0, section 13: 7 7 7 8 8 7 7 6 6 is packed as 256, 7, 258, 8, 8, 258, 6, 6, 257.
    const input = Uint8Array.of(7, 7, 7, 8, 8, 7, 7, 6, 6);
    const packed = packLzw(input);
    expect([...unpackLzw(packed, 9)]).toEqual([...input]);
    const bits = [...packed].map((b) => b.toString(2).padStart(8, '0')).join('');
    const codes = Array.from({ length: 9 }, (_, i) => parseInt(bits.slice(9 * i, 9 * i + 9), 2));
    expect(codes).toEqual([256, 7, 258, 8, 8, 258, 6, 6, 257]);
  });

  it('gives back bytes of any kind, through all widths of codes and fresh tables', () => {
    for (const [seed, letters] of [
      [1, 2],
      [2, 5],
      [3, 40],
      [4, 256],
    ]) {
      const random = rng(seed);
      const input = Uint8Array.from({ length: 30_000 }, () => Math.floor(random() * letters));
      const got = unpackLzw(packLzw(input), input.length);
      expect(Buffer.compare(got, input), `seed ${seed}`).toBe(0);
      expect(Buffer.compare(unpackLzw(packLzw(input), 1000), input.subarray(0, 1000)), `seed ${seed}`).toBe(
        0,
      );
    }
  });

  it('on 3000 damaged inputs ends with an error or with no more bytes than asked for', () => {
    const random = rng(20261125);
    const packed = packLzw(Uint8Array.from({ length: 5000 }, (_, i) => (i * i) % 61));
    for (let k = 0; k < 3000; k++) {
      const bytes = packed.slice(0, Math.floor(random() * packed.length));
      for (let n = 0; n < 5; n++) bytes[Math.floor(random() * bytes.length)] = Math.floor(random() * 256);
      try {
        expect(unpackLzw(bytes, 4000).length).toBeLessThanOrEqual(4000);
      } catch (error) {
        expect(String(error)).toMatch(/does not explain/);
      }
    }
  });
});

describe('PackBits', () => {
  it('the example of the Macintosh technical note 1023 that TIFF names', () => {
    const packed = [0xfe, 0xaa, 0x02, 0x80, 0x00, 0x2a, 0xfd, 0xaa, 0x03, 0x80, 0x00, 0x2a, 0x22, 0xf7, 0xaa];
    const want = 'aaaaaa80002aaaaaaaaa80002a22aaaaaaaaaaaaaaaaaaaa';
    expect(Buffer.from(unpackBits(Uint8Array.from(packed), 100)).toString('hex')).toBe(want);
    expect(unpackBits(Uint8Array.from(packed), 5).length).toBe(5);
    // The byte 128 stands for nothing.
    expect([...unpackBits(Uint8Array.of(128, 0, 9, 128), 10)]).toEqual([9]);
    expect([...unpackBits(Uint8Array.of(5, 1, 2), 10)]).toEqual([1, 2]);
  });
});
