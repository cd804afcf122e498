/**
 * Every reader against damaged copies of real files: 2,000 copies in all, bytes changed, cut off, repeated, zeroed or moved.
 * Each must give its sentence or a layer; none may throw, hang, or give positions that are no places.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formats, openSource } from '../../src/io/read/formats.ts';
import type { Opened } from '../../src/io/read/types.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import type { Source } from '../../src/io/source.ts';

const SEED = 20261125;
const CASES = 2000;
/** Larger files only make the same mistakes more slowly. */
const MOST_BYTES = 400_000;
const ROOT = 'tests/fixtures';

interface Sample {
  readonly path: string;
  readonly bytes: Uint8Array;
}

const files = readdirSync(ROOT, { recursive: true, withFileTypes: true })
  .filter((f) => f.isFile() && !/^(expected|routes)[^/]*\.json$|\.(ts|mjs|md|sh|py)$/.test(f.name))
  .map((f) => join(f.parentPath, f.name));

const stem = (path: string): string => basename(path, extname(path)).toLowerCase();

/** The file with all that lies beside it under the same name, as it would be brought. */
function sourceOf({ path }: Sample, bytes: Uint8Array): Source {
  const companions = readdirSync(dirname(path))
    .filter((name) => name !== basename(path) && stem(name) === stem(path))
    .map((name) => ({ name, bytes: new Uint8Array(readFileSync(join(dirname(path), name))) }));
  return memorySource(basename(path), bytes, companions);
}

/** Files of tests/fixtures by the format that reads them. */
async function samples(): Promise<Map<string, Sample[]>> {
  const found = new Map<string, Sample[]>();
  for (const path of files) {
    const bytes = new Uint8Array(readFileSync(path));
    if (bytes.length > MOST_BYTES) continue;
    const opened = await openSource(sourceOf({ path, bytes }, bytes));
    const format = formats.find((f) => f.recognises(bytes.subarray(0, 512), basename(path)));
    if (opened.ok && format) found.set(format.id, [...(found.get(format.id) ?? []), { path, bytes }]);
  }
  return found;
}

type Damage = (bytes: Uint8Array) => Uint8Array;

const where = fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true });
const at = (share: number, length: number): number => Math.floor(share * length);

/** Headers are where lies do most harm: half of the places lie among the first bytes. */
const place = fc.oneof(
  where.map((share) => (length: number) => at(share, Math.min(512, length))),
  where.map((share) => (length: number) => at(share, length)),
);

const damage: fc.Arbitrary<Damage> = fc.oneof(
  fc
    .array(fc.tuple(place, fc.nat(255)), { minLength: 1, maxLength: 12 })
    .map((changes) => (bytes: Uint8Array) => {
      const out = bytes.slice();
      for (const [of, value] of changes) out[of(out.length)] = value;
      return out;
    }),
  where.map((share) => (bytes: Uint8Array) => bytes.slice(0, at(share, bytes.length))),
  fc.tuple(place, fc.constantFrom(0, 255), fc.nat(64)).map(([of, value, length]) => (bytes: Uint8Array) => {
    const out = bytes.slice();
    const from = of(out.length);
    return out.fill(value, from, from + length);
  }),
  fc.tuple(where, where, fc.nat(4096)).map(([from, to, length]) => (bytes: Uint8Array) => {
    const part = bytes.subarray(at(from, bytes.length), at(from, bytes.length) + length);
    const cut = at(to, bytes.length);
    const out = new Uint8Array(bytes.length + part.length);
    out.set(bytes.subarray(0, cut));
    out.set(part, cut);
    out.set(bytes.subarray(cut), cut + part.length);
    return out;
  }),
  // Numbers of four bytes at their extremes: counts, sizes and offsets that lie.
  fc
    .tuple(place, fc.constantFrom(0, 1, 0x7fffffff, 0x80000000, 0xffffffff), fc.boolean())
    .map(([of, value, little]) => (bytes: Uint8Array) => {
      const out = bytes.slice();
      const from = Math.min(of(out.length), out.length - 4);
      if (from >= 0) new DataView(out.buffer).setUint32(from, value, little);
      return out;
    }),
);

/** Uses what was opened as a layer would be used. */
async function use({ content, notes }: Opened): Promise<void> {
  for (const note of notes) expect(note.what).not.toBe('');
  switch (content.kind) {
    case 'raster': {
      const col = Float64Array.of(0.5, content.raster.width / 2, -3);
      const row = Float64Array.of(0.5, content.raster.height / 2, 1e9);
      const values = await content.raster.sample(1, col, row, 'bilinear');
      if (values.ok) expect(values.value.length).toBe(3);
      else expect(values.failure.what).not.toBe('');
      content.raster.trim();
      return;
    }
    case 'table':
      for (let row = 0; row < Math.min(content.table.n, 50); row++)
        for (let column = 0; column < content.table.columns.length; column++)
          expect(typeof content.table.cell(row, column)).toBe('string');
      return;
    case 'point':
      for (const f of content.features) expect(Number.isFinite(f.lon) && Number.isFinite(f.lat)).toBe(true);
      return;
    case 'line':
      for (const f of content.features) expect(f.lines.flat(2).every(Number.isFinite)).toBe(true);
      return;
    case 'polygon':
      for (const f of content.features) expect(f.geometry.flat(3).every(Number.isFinite)).toBe(true);
  }
}

const found = await samples();

describe(`damaged files (seed ${SEED})`, () => {
  it('has whole files of every format to damage', () => {
    expect(formats.map((f) => f.id).filter((id) => !found.has(id))).toEqual([]);
  });

  const each = Math.ceil(CASES / found.size);
  it.each([...found].map(([id, list]) => ({ id, list })))(
    'of the format $id give a sentence or a layer',
    async ({ list }) => {
      await fc.assert(
        fc.asyncProperty(fc.constantFrom(...list), damage, async (sample, harm) => {
          const opened = await openSource(sourceOf(sample, harm(sample.bytes)));
          if (opened.ok) return use(opened.value);
          const { where: file, what, todo } = opened.failure;
          expect([file, what, todo].every((text) => text !== '' && text.length < 700)).toBe(true);
        }),
        { numRuns: each, seed: SEED, endOnFailure: true },
      );
    },
    120_000,
  );
});
