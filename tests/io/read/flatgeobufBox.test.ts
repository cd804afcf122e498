// tests/fixtures/vectors/squares.fgb: 900 squares in EPSG:5070 with an index, made by make.mjs beside it.
import { readFileSync } from 'node:fs';
import { describe, expect, it, vi } from 'vitest';
import type { Area, Box } from '../../../src/domain/base/geo.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import type { Source } from '../../../src/io/source.ts';

// The library tells of every node that it visits.
vi.spyOn(console, 'debug').mockImplementation(() => undefined);

const bytes = new Uint8Array(readFileSync(new URL('../../fixtures/vectors/squares.fgb', import.meta.url)));

function counted(): { source: Source; read: () => number } {
  const memory = memorySource('squares.fgb', bytes);
  let total = 0;
  const source: Source = {
    ...memory,
    readAll: () => {
      total += bytes.length;
      return memory.readAll();
    },
    read: (offset, length) => {
      total += length;
      return memory.read(offset, length);
    },
  };
  return { source, read: () => total };
}

async function areas(within?: Box, source = counted().source): Promise<readonly Area[]> {
  const opened = await openSource(source, within ? { within } : {});
  if (!opened.ok) throw new Error(opened.failure.what);
  if (opened.value.content.kind !== 'polygon') throw new Error('polygons were expected');
  return opened.value.content.features;
}

const touches = (area: Area, [west, south, east, north]: Box): boolean => {
  const points = area.geometry.flat(2);
  const x = points.map((p) => p[0]);
  const y = points.map((p) => p[1]);
  return (
    Math.min(...x) <= east && Math.max(...x) >= west && Math.min(...y) <= north && Math.max(...y) >= south
  );
};

describe('FlatGeobuf by area', () => {
  it('gives every feature that touches the area, in the order of the file, without reading it whole', async () => {
    const all = await areas();
    const points = all[Math.floor(all.length / 2)].geometry[0][0][0];
    const within: Box = [points[0] - 0.02, points[1] - 0.015, points[0] + 0.02, points[1] + 0.015];
    const { source, read } = counted();
    const some = await areas(within, source);
    const want = all.filter((a) => touches(a, within));
    expect(want.length).toBeGreaterThan(20);
    expect(some.filter((a) => touches(a, within))).toEqual(want);
    // A few more may come along: the area is a turned shape in the file's system, and a box around it is asked for.
    expect(some.length).toBeLessThan(all.length / 4);
    // Gaps under 256 kB are read through, so that a small file shows little of the saving.
    expect(read()).toBeLessThan(bytes.length * 0.8);
  });

  it('says so where nothing is there', async () => {
    const opened = await openSource(counted().source, { within: [-60, 10, -59, 11] });
    expect(opened).toMatchObject({ ok: false, failure: { code: 'content', where: 'squares.fgb' } });
  });

  it('reads a file without an index whole', async () => {
    const plain = readFileSync(new URL('../../fixtures/flatgeobuf/points-no-index.fgb', import.meta.url));
    const opened = await openSource(memorySource('a.fgb', new Uint8Array(plain)), {
      within: [-90, 20, -60, 60],
    });
    expect(opened).toMatchObject({ ok: true, value: { count: 3 } });
  });

  it('a file that ends too early gives one sentence', async () => {
    const all = await areas();
    const [x, y] = all[0].geometry[0][0][0];
    for (const share of [0.001, 0.02, 0.1, 0.5, 0.99]) {
      const cut = memorySource('cut.fgb', bytes.slice(0, Math.floor(bytes.length * share)));
      const opened = await openSource(cut, { within: [x - 5, y - 5, x + 5, y + 5] });
      expect(opened).toMatchObject({ ok: false, failure: { code: 'format', where: 'cut.fgb' } });
    }
  });
});
