import { execFileSync, spawnSync } from 'node:child_process';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { undoFloat32 } from '../../../src/io/read/rasters/floatPlanes.ts';
import { floatPlanesModule } from '../../../src/io/read/rasters/floatPlanesModule.ts';
import { undoFloat32Differences, undoFloatDifferences } from '../../../src/io/read/rasters/predictors.ts';

const ROOM = 'src/io/read/rasters';
const assembler = spawnSync('wat2wasm', ['--version']).status === 0;

/** Whole rows of `n` cells as TIFF technical note 3 stores them, byte by byte; what is over is kept. For the test only. */
function stored(bytes: Uint8Array, n: number): ArrayBuffer {
  const out = bytes.slice();
  for (let start = 0; start + 4 * n <= bytes.length; start += 4 * n) {
    const row = out.subarray(start, start + 4 * n);
    for (let i = 0; i < n; i++) for (let b = 0; b < 4; b++) row[(3 - b) * n + i] = bytes[start + 4 * i + b];
    for (let k = row.length - 1; k > 0; k--) row[k] -= row[k - 1];
  }
  return out.buffer;
}

function anyBytes(length: number, seed: number): Uint8Array {
  const random = rng(seed);
  return Uint8Array.from({ length }, () => Math.floor(random() * 256));
}

/** Compared as one: a list of a million numbers is slow to compare. */
const same = (a: ArrayBuffer, b: Uint8Array): boolean => Buffer.compare(Buffer.from(a), Buffer.from(b)) === 0;

const WIDTHS = [...Array.from({ length: 70 }, (_, i) => i + 1), 255, 256, 257, 512, 1000];
const ROWS = [1, 2, 3, 17];
/** Over the last whole row, bytes. */
const OVER = [0, 3, 10];

describe('floating-point predictor undone', () => {
  it.each([
    ['by vectors or without', (data: ArrayBuffer, n: number) => undoFloatDifferences(data, 32, n, 1)],
    ['without vectors', undoFloat32Differences],
  ])('%s gives the cells that were stored, and keeps a row that is not whole', (_, undo) => {
    for (const n of WIDTHS)
      for (const rows of ROWS)
        for (const over of OVER) {
          const bytes = anyBytes(4 * n * rows + Math.min(over, 4 * n - 1), n * 100 + rows);
          const data = stored(bytes, n);
          undo(data, n);
          expect(same(data, bytes), `${rows} rows of ${n}, ${over} bytes over`).toBe(true);
        }
  });

  it.each([
    [16, 16],
    [17, 5000],
    [512, 512],
    [4097, 33],
    [16_384, 3],
    [16_385, 3],
    [20_000, 3],
    // The longest row that vectors take.
    [524_278, 2],
  ])('by vectors in rows of %i, %i of them, in as many runs as it takes', (n, rows) => {
    const bytes = anyBytes(4 * n * rows + 7, 1);
    const data = stored(bytes, n);
    expect(undoFloat32(data, n)).toBe(true);
    expect(same(data, bytes)).toBe(true);
  });

  it.each([
    ['narrow rows', 15, 1000],
    ['few cells', 85, 3],
    ['rows too long for the memory', 524_279, 1],
  ])('%s are left to the way without vectors', (_, n, rows) => {
    const bytes = anyBytes(4 * n * rows, 2);
    const data = stored(bytes, n);
    const before = new Uint8Array(data.slice(0));
    expect(undoFloat32(data, n)).toBe(false);
    expect(same(data, before)).toBe(true);
    undoFloatDifferences(data, 32, n, 1);
    expect(same(data, bytes)).toBe(true);
  });

  it('keeps floats as they were, not-a-number and minus nought among them', () => {
    const n = 300;
    const floats = Float32Array.from({ length: 2 * n }, (_, i) => 1200 + Math.sin(i / 9) * 40);
    floats.set([NaN, -0, Infinity, -3.4028234663852886e38, 1e-45], 17);
    const data = stored(new Uint8Array(floats.buffer), n);
    undoFloatDifferences(data, 32, n, 1);
    expect(new Float32Array(data)).toEqual(floats);
  });
});

describe('a host without vectors', () => {
  afterEach(() => {
    vi.unstubAllGlobals();
    vi.resetModules();
  });

  const { CompileError } = WebAssembly;
  class Forbidden {
    constructor() {
      throw new CompileError('refused by the policy');
    }
  }
  it.each([
    ['no WebAssembly', undefined],
    ['none in its WebAssembly', { validate: (): boolean => false }],
    ['forbidden', { validate: (): boolean => true, Module: Forbidden }],
  ])('(%s) gives the same cells', async (_, host) => {
    vi.resetModules();
    vi.stubGlobal('WebAssembly', host);
    const fresh = await import('../../../src/io/read/rasters/floatPlanes.ts');
    const { undoFloatDifferences: undo } = await import('../../../src/io/read/rasters/predictors.ts');
    const bytes = anyBytes(4 * 64 * 64, 3);
    const data = stored(bytes, 64);
    expect(fresh.undoFloat32(data, 64)).toBe(false);
    undo(data, 32, 64, 1);
    expect(same(data, bytes)).toBe(true);
  });
});

describe('the assembled module', () => {
  it.skipIf(!assembler)('is what floatPlanes.wat says', () => {
    const bytes = execFileSync('wat2wasm', [`${ROOM}/floatPlanes.wat`, '--output=-']);
    expect(floatPlanesModule).toBe(bytes.toString('base64'));
  });

  it('is small enough for the page to compile without waiting', () => {
    expect(Buffer.from(floatPlanesModule, 'base64').length).toBeLessThan(4096);
  });
});
