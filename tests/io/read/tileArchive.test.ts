import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openTileArchive, type TileArchive } from '../../../src/io/read/tileArchive.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { pmtiles, png } from '../../fixtures/pmtiles.ts';

const PICTURES = pmtiles({ '0/0/0': png(200, 10, 10), '1/1/0': png(10, 200, 10) }, 'png', {
  attribution: '<a href="https://example.org" onclick="x()">&copy; Invented maps</a>',
});
const VECTORS = pmtiles({ '0/0/0': new Uint8Array([0x1a, 0]) }, 'mvt', {
  vector_layers: [{ id: 'water' }, { id: 'roads' }, null, { id: 7 }],
});

async function open(bytes: Uint8Array): Promise<TileArchive> {
  const opened = await openTileArchive(memorySource('ground.pmtiles', bytes));
  if (!opened.ok) throw new Error(opened.failure.what);
  return opened.value;
}

describe('a file of tiles', () => {
  it('says what it holds, its credit as plain words', async () => {
    expect(await open(PICTURES)).toMatchObject({
      kind: 'raster',
      minZoom: 0,
      maxZoom: 1,
      extent: [-180, -85, 180, 85],
      attribution: '© Invented maps',
      vectorLayers: [],
    });
    expect(await open(VECTORS)).toMatchObject({ kind: 'vector', vectorLayers: ['water', 'roads'] });
  });

  it('gives the tile of a place, and null where it has none', async () => {
    const archive = await open(PICTURES);
    const bytes = async (z: number, x: number, y: number) => {
      const tile = await archive.tile(z, x, y);
      if (!tile.ok) throw new Error(tile.failure.what);
      return tile.value && new Uint8Array(tile.value);
    };
    expect(await bytes(0, 0, 0)).toEqual(png(200, 10, 10));
    expect(await bytes(1, 1, 0)).toEqual(png(10, 200, 10));
    expect(await bytes(1, 0, 1)).toBeNull();
  });

  it.each([
    ['another kind of file', new TextEncoder().encode('SQLite format 3'), 'is not a PMTiles file'],
    ['an older version', Uint8Array.from(PICTURES, (b, i) => (i === 7 ? 2 : b)), 'version 2'],
    ['a file cut short', PICTURES.subarray(0, 140), 'damaged or cut short'],
    ['tiles of an unknown kind', Uint8Array.from(PICTURES, (b, i) => (i === 99 ? 9 : b)), 'not drawn'],
    [
      'metadata of an impossible size',
      Uint8Array.from(PICTURES, (b, i) => (i === 37 ? 9 : b)),
      'damaged or cut short',
    ],
  ])('refuses %s with a sentence', async (_, bytes, what) => {
    const opened = await openTileArchive(memorySource('ground.pmtiles', bytes));
    expect(opened.ok).toBe(false);
    if (!opened.ok) expect(opened.failure).toMatchObject({ where: 'ground.pmtiles' });
    if (!opened.ok) expect(opened.failure.what).toContain(what);
  });

  it('never throws, whatever bytes are changed (seed 20261125)', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(PICTURES.length - 1), fc.nat(255)), { minLength: 1, maxLength: 8 }),
        async (changes) => {
          const bytes = PICTURES.slice();
          for (const [at, value] of changes) bytes[at] = value;
          const opened = await openTileArchive(memorySource('ground.pmtiles', bytes));
          if (opened.ok) await opened.value.tile(1, 1, 0);
          else expect(opened.failure.what).not.toBe('');
        },
      ),
      { numRuns: 300, seed: 20261125 },
    );
  });
});
