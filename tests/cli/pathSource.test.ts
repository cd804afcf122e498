import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { pathSource } from '../../src/cli/pathSource.ts';

const folder = mkdtempSync(join(tmpdir(), 'path-source-'));
afterAll(() => rmSync(folder, { recursive: true }));

describe('a file on disk', () => {
  it('is read by position, and no further than its end', async () => {
    const path = join(folder, 'a.bin');
    const bytes = Uint8Array.from({ length: 300 }, (_, i) => i % 251);
    writeFileSync(path, bytes);
    const source = pathSource(path);
    if (!source.ok) throw new Error(source.failure.what);
    expect(source.value).toMatchObject({ name: 'a.bin', size: 300 });
    for (const [offset, length, want] of [
      [0, 10, 10],
      [290, 20, 10],
      [300, 5, 0],
      [1000, 5, 0],
    ]) {
      const read = await source.value.read(offset, length);
      if (!read.ok) throw new Error(read.failure.what);
      expect(Array.from(read.value)).toEqual(Array.from(bytes.subarray(offset, offset + want)));
    }
    const all = await source.value.readAll();
    expect(all.ok && Buffer.compare(all.value, bytes)).toBe(0);
  });

  it('a missing file and a folder give one sentence', () => {
    for (const [path, word] of [
      [join(folder, 'none.tif'), 'does not exist'],
      [folder, 'is not a file'],
    ])
      expect(pathSource(path)).toMatchObject({
        ok: false,
        failure: { code: 'unreadable', where: path, what: word },
      });
  });
});
