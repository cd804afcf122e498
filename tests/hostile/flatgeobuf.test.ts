import { readdirSync, readFileSync } from 'node:fs';
import { serialize } from 'flatgeobuf/lib/mjs/geojson.js';
import { describe, expect, it } from 'vitest';
import type { Failure } from '../../src/domain/base/result.ts';
import { openSource } from '../../src/io/read/formats.ts';
import { memorySource } from '../../src/io/source/memory.ts';

// Written by GDAL 3.6.2: see make.sh there.
const folder = new URL('../fixtures/flatgeobuf/', import.meta.url);
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const open = (name: string, bytes: Uint8Array) => openSource(memorySource(name, bytes));

async function failureOf(name: string, bytes: Uint8Array): Promise<Failure> {
  const opened = await open(name, bytes);
  if (opened.ok) throw new Error('a failure was expected');
  for (const text of Object.values(opened.failure)) expect(text).not.toBe('');
  return opened.failure;
}

describe('FlatGeobuf that is damaged', () => {
  const files = readdirSync(folder).filter(
    (f) => f.endsWith('.fgb') && !/^(empty|points-nad27|refused-.*)\.fgb$/.test(f),
  );

  it.each(files)('%s, cut after any byte: one Failure', async (file) => {
    const whole = bytesOf(file);
    for (let length = 0; length < whole.length; length++) {
      const failure = await failureOf(file, whole.slice(0, length));
      expect(failure.where, `${length} bytes`).toBe(file);
      expect(failure.code, `${length} bytes`).toMatch(/^(format|content)$/);
    }
  });

  it.each(files)('%s, with any byte inverted: a Failure or a content, nothing thrown', async (file) => {
    const whole = bytesOf(file);
    let failures = 0;
    for (let at = 0; at < whole.length; at++) {
      const bytes = whole.slice();
      bytes[at] ^= 0xff;
      const opened = await open(file, bytes);
      if (opened.ok) continue;
      failures++;
      expect(opened.failure.what).not.toBe('');
    }
    expect(failures).toBeGreaterThan(0);
  });

  it.each(files)('%s, damaged in any byte, read by area: a Failure or a content', async (file) => {
    const whole = bytesOf(file);
    const within = [-90, 30, -70, 45] as const;
    expect((await openSource(memorySource(file, whole), { within })).ok).toBe(true);
    for (let at = 0; at < whole.length; at++) {
      const inverted = whole.slice();
      inverted[at] ^= 0xff;
      for (const bytes of [inverted, whole.slice(0, at)]) {
        const opened = await openSource(memorySource(file, bytes), { within });
        if (!opened.ok) for (const text of Object.values(opened.failure)) expect(text).not.toBe('');
        // Every feature lies in the area: none may be missing without a word.
        else if (bytes !== inverted) throw new Error(`read though cut after ${at} bytes`);
      }
    }
  });

  it('is of another version: told by its first bytes', async () => {
    const bytes = bytesOf('points-utm.fgb');
    bytes[3] = 2;
    expect(await failureOf('points-utm.fgb', bytes)).toMatchObject({ code: 'format' });
  });

  it('says that it holds more, fewer or other features than it does: one Failure', async () => {
    const ring = [[-83, 39], [-82, 39], [-82, 40], [-83, 39]]; // prettier-ignore
    const made = serialize({
      type: 'FeatureCollection',
      features: [
        { type: 'Feature', properties: { a: 1 }, geometry: { type: 'Polygon', coordinates: [ring] } },
      ],
    });
    expect((await open('made.fgb', made)).ok).toBe(true);
    // The same feature once more at the end.
    const start = 12 + new DataView(made.buffer, made.byteOffset).getUint32(8, true);
    const twice = Uint8Array.of(...made, ...made.subarray(start));
    expect(await failureOf('made.fgb', twice)).toMatchObject({
      code: 'format',
      what: 'is damaged or cut short (it holds 2 of 1 features)',
    });
    expect((await failureOf('made.fgb', made.slice(0, start))).what).toMatch(/holds 0 of 1 features/);
    // Bytes behind the last feature that are none.
    expect((await failureOf('made.fgb', Uint8Array.of(...made, 1, 2, 3))).code).toBe('format');
  });

  it('is an index of no features: a Failure, at once', async () => {
    const bytes = bytesOf('empty.fgb');
    expect(await failureOf('empty.fgb', bytes)).toMatchObject({ what: 'holds no features' });
  });
});
