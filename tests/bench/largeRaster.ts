/** A tiled BigTIFF of two gigabytes on disk: opening it, and values at places all over it. */
import { closeSync, ftruncateSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathSource } from '../../src/cli/pathSource.ts';
import { rng } from '../../src/domain/base/rng.ts';
import { openSource } from '../../src/io/read/formats.ts';

const SIDE = 32_768;
const TILE = 512;
const PLACES = 2000;
const OVERVIEWS = [16, 64];

/** The file is a hole but for its directories: 16-bit cells, all 0, full size and two overviews, directories first. */
function write(path: string): number {
  const long = (n: number): Buffer => {
    const b = Buffer.alloc(8);
    b.writeBigUInt64LE(BigInt(n));
    return b;
  };
  const levels = [1, ...OVERVIEWS].map((f) => SIDE / f);
  const counts = levels.map((side) => Math.ceil(side / TILE) ** 2);
  const TAGS = 15;
  const directory = 8 + TAGS * 20 + 8;
  const extra = 512;
  const starts: number[] = [];
  let at = 16;
  for (const n of counts) {
    starts.push(at);
    at += directory + extra + n * 16;
  }
  let data = Math.ceil(at / 4096) * 4096;
  const fd = openSync(path, 'w');
  writeSync(fd, Buffer.concat([Buffer.from([0x49, 0x49, 43, 0, 8, 0, 0, 0]), long(16)]), 0, 16, 0);
  levels.forEach((side, level) => {
    const start = starts[level];
    const more = start + directory;
    const offsets = more + extra;
    const n = counts[level];
    const short = Buffer.from(
      Uint16Array.of(1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, 5070).buffer,
    );
    const scale = Buffer.from(Float64Array.of(30, 30, 0).buffer);
    const tie = Buffer.from(Float64Array.of(0, 0, 0, 0, 2e6, 0).buffer);
    writeSync(fd, Buffer.concat([scale, tie, short]), 0, 104, more);
    const one = (value: number): [number, number, number] => [3, 1, value];
    const tags: Array<[tag: number, type: number, count: number, value: number]> = [
      [254, 4, 1, level === 0 ? 0 : 1],
      [256, 4, 1, side],
      [257, 4, 1, side],
      [258, ...one(16)],
      [259, ...one(1)],
      [262, ...one(1)],
      [277, ...one(1)],
      [284, ...one(1)],
      [322, ...one(TILE)],
      [323, ...one(TILE)],
      [324, 16, n, n === 1 ? data : offsets],
      [325, 16, n, n === 1 ? TILE * TILE * 2 : offsets + n * 8],
      [33550, 12, 3, more],
      [33922, 12, 6, more + 24],
      [34735, 3, 16, more + 72],
    ];
    const head = Buffer.concat([
      long(TAGS),
      ...tags.map(([tag, type, count, value]) =>
        Buffer.concat([Buffer.from(Uint16Array.of(tag, type).buffer), long(count), long(value)]),
      ),
      long(starts[level + 1] ?? 0),
    ]);
    writeSync(fd, head, 0, head.length, start);
    const lists = Buffer.concat([
      ...Array.from({ length: n }, (_, i) => long(data + i * TILE * TILE * 2)),
      ...Array.from({ length: n }, () => long(TILE * TILE * 2)),
    ]);
    writeSync(fd, lists, 0, lists.length, offsets);
    data += n * TILE * TILE * 2;
  });
  ftruncateSync(fd, data);
  closeSync(fd);
  return data;
}

export async function largeRaster() {
  const folder = mkdtempSync(join(tmpdir(), 'large-raster-'));
  try {
    const path = join(folder, 'large.tif');
    const bytes = write(path);
    const file = pathSource(path);
    if (!file.ok) throw new Error(file.failure.what);
    const heap = (): number => {
      (globalThis as { gc?: () => void }).gc?.();
      const { heapUsed, external } = process.memoryUsage();
      return heapUsed + external;
    };
    const before = heap();
    let read = 0;
    const counted: typeof file.value = {
      ...file.value,
      read(offset, length) {
        read += length;
        return file.value.read(offset, length);
      },
    };
    const start = performance.now();
    const opened = await openSource(counted);
    const openMs = performance.now() - start;
    if (!opened.ok || opened.value.content.kind !== 'raster')
      throw new Error('the large raster was not opened');
    const { raster } = opened.value.content;
    const openKb = read / 1000;
    const random = rng(7);
    const places = () => Float64Array.from({ length: PLACES }, () => random() * SIDE);
    const then = performance.now();
    const values = await raster.sample(1, places(), places(), 'bilinear');
    if (!values.ok) throw new Error(values.failure.what);
    const figure = {
      gigabytes: Number((bytes / 1e9).toFixed(2)),
      openMs: Math.round(openMs),
      openKb: Math.round(openKb),
      places: PLACES,
      placesAllOverMs: Math.round(performance.now() - then),
      heapMb: Math.round((heap() - before) / 1e6),
    };
    raster.trim();
    return figure;
  } finally {
    rmSync(folder, { recursive: true });
  }
}
