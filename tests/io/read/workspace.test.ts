import { zipSync, type Zippable } from 'fflate';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sentence } from '../../../src/domain/base/result.ts';
import { unpackWorkspace } from '../../../src/io/read/workspace.ts';
import { crc32 } from '../../../src/io/read/archives/zip.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const zip = (files: Zippable): Uint8Array => zipSync(files, { mtime: '2026-01-01' });
const said = (data: Uint8Array, most?: number): string => {
  const result = unpackWorkspace(data, 'w.zip', most);
  return result.ok ? 'taken' : sentence(result.failure);
};
const plan = bytes('{"kinstand":1}');

/** Position of the directory entry of the k-th file. */
function entryAt(data: Uint8Array, k: number): number {
  const view = new DataView(data.buffer, data.byteOffset);
  let at = view.getUint32(data.length - 22 + 16, true);
  for (; k > 0; k--) at += 46 + view.getUint16(at + 28, true);
  return at;
}
const changed = (data: Uint8Array, change: (view: DataView, bytes: Uint8Array) => void): Uint8Array => {
  const copy = data.slice();
  change(new DataView(copy.buffer), copy);
  return copy;
};

describe('a workspace file', () => {
  it('is taken with its files under their paths, without what Mac OS adds', () => {
    const read = unpackWorkspace(
      zip({ 'plan.json': plan, 'a/b.csv': bytes('x'), 'a/.DS_Store': bytes('x'), '__MACOSX/a': bytes('x') }),
      'w.zip',
    );
    expect(read).toEqual({
      ok: true,
      value: { plan: { kinstand: 1 }, files: [{ path: 'a/b.csv', bytes: bytes('x') }] },
    });
  });

  it('may lie in one folder, as programs make when they pack again', () => {
    const read = unpackWorkspace(zip({ ridge: { 'plan.json': plan, 'b.csv': bytes('x') } }), 'w.zip');
    expect(read.ok && read.value.files.map((f) => f.path)).toEqual(['b.csv']);
    expect(said(zip({ ridge: { 'plan.json': plan }, 'b.csv': bytes('x') }))).toMatch(/holds no plan\.json/);
  });

  it('is refused in one sentence when it names a path outside of itself', () => {
    for (const path of ['../x.csv', 'a/../../x', '/etc/x', 'C:\\x', '\\x', 'a\\..\\x', '..'])
      expect(said(zip({ 'plan.json': plan, [path]: bytes('x') }))).toBe(
        `w.zip: names a path outside of itself ("${path}"). Do not use this file.`,
      );
    expect(said(zip({ 'plan.json': plan, '..hidden': bytes('x'), 'a..b': bytes('x') }))).toBe('taken');
  });

  it('is refused by the sizes that it states, before memory is taken', () => {
    const data = zip({ 'plan.json': plan, 'big.bin': new Uint8Array(100_000) });
    expect(data.length).toBeLessThan(1000);
    expect(said(data, 50_000)).toMatch(
      /^w\.zip: unpacks to 0 MB, more than 0\.05 MB\. Keep large rasters outside/,
    );
    // States four thousand million bytes in each of two files; nothing of the sort is there.
    const liar = changed(zip({ 'plan.json': plan, a: bytes('x'), b: bytes('y') }), (view, all) => {
      for (const k of [1, 2]) view.setUint32(entryAt(all, k) + 24, 4_000_000_000, true);
    });
    expect(said(liar)).toMatch(/unpacks to 8,000 MB, more than 1,500 MB/);
  });

  it('is refused when a file holds more or less than it states', () => {
    const data = zip({ 'plan.json': plan, 'big.bin': new Uint8Array(100_000) });
    for (const size of [10, 99_999, 100_001, 0])
      expect(said(changed(data, (view, all) => view.setUint32(entryAt(all, 1) + 24, size, true)))).toBe(
        'w.zip, big.bin: is damaged (its check sum does not fit). Get the file again.',
      );
  });

  it('is refused when bytes of a file were changed, stored or packed', () => {
    const stored = zip({ 'plan.json': plan, 'a.tif': [bytes('0123456789'), { level: 0 }] });
    const at = stored.findIndex((_, i) => i > 60 && stored[i] === 0x30 && stored[i + 1] === 0x31);
    expect(said(changed(stored, (_, all) => (all[at + 4] ^= 1)))).toMatch(/a\.tif: is damaged/);
  });

  it('is refused when it is no zip, cut short, locked, twofold, of the 64-bit kind or packed in an unknown way', () => {
    const data = zip({ 'plan.json': plan, 'a.csv': bytes('id,lon,lat') });
    expect(said(bytes('%PDF-1.7 and so on, long enough to be a file'))).toMatch(/is not a zip/);
    expect(said(new Uint8Array(0))).toMatch(/is not a zip/);
    expect(said(data.slice(0, data.length - 30))).toMatch(/cut short\. Get the file again/);
    expect(said(changed(data, (v, all) => v.setUint16(entryAt(all, 1) + 8, 1, true)))).toMatch(
      /locked with a password/,
    );
    expect(said(changed(data, (v, all) => v.setUint16(entryAt(all, 1) + 10, 12, true)))).toMatch(
      /a\.csv: is packed by a method that is not read \(number 12\)/,
    );
    expect(said(changed(data, (v) => v.setUint32(data.length - 22 + 16, 0xffffffff, true)))).toMatch(
      /64-bit/,
    );
    const twice = zip({ 'plan.json': plan, 'a.csv': bytes('x'), 'b.csv': bytes('y') });
    expect(said(changed(twice, (_, all) => all.set(bytes('a'), entryAt(all, 2) + 46)))).toMatch(
      /holds "a\.csv" twice/,
    );
  });

  it('is refused without plan.json, or with one that is not JSON', () => {
    expect(said(zip({ 'a.csv': bytes('x') }))).toMatch(
      /^w\.zip: holds no plan\.json\. Choose a workspace file/,
    );
    expect(said(zip({ 'plan.json': bytes('{') }))).toMatch(/^w\.zip, plan\.json: is not valid JSON/);
  });

  it('never throws, whatever bytes are changed or cut off', () => {
    const data = zip({ 'plan.json': plan, 'a.csv': bytes('id,lon,lat\n1,2,3\n'.repeat(20)) });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(data.length - 1), fc.nat(255)), { maxLength: 6 }),
        fc.nat(data.length),
        (edits, length) => {
          const copy = data.slice(0, length);
          for (const [at, value] of edits) if (at < length) copy[at] = value;
          said(copy);
        },
      ),
      { seed: 7, numRuns: 2000 },
    );
  });
});

describe('the check sum', () => {
  // The check value of CRC-32/ISO-HDLC in the usual catalogues: of "123456789" (from memory).
  it('of 123456789 is cbf43926', () => expect(crc32(bytes('123456789'))).toBe(0xcbf43926));
});
