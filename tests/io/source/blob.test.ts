import { describe, expect, it } from 'vitest';
import { blobSource } from '../../../src/io/source/blob.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { pattern } from './host.ts';

const all = pattern(1000);

describe.each([
  ['a file of the browser', blobSource('a.bin', new Blob([all.slice()]))],
  ['bytes in memory', memorySource('a.bin', all)],
])('%s', (_, source) => {
  it('gives slices, shorter at the end and empty beyond it', async () => {
    expect(source.name).toBe('a.bin');
    expect(source.size).toBe(1000);
    expect(await source.read(10, 5)).toEqual({ ok: true, value: all.slice(10, 15) });
    expect(await source.read(990, 50)).toEqual({ ok: true, value: all.slice(990) });
    expect(await source.read(1000, 5)).toEqual({ ok: true, value: new Uint8Array(0) });
    expect(await source.read(5000, 5)).toEqual({ ok: true, value: new Uint8Array(0) });
    expect(await source.readAll()).toEqual({ ok: true, value: all });
  });
});

describe('a file that was deleted after it was chosen', () => {
  it('is one Failure, for a part and for all', async () => {
    const gone = {
      size: 1000,
      slice: () => ({ arrayBuffer: () => Promise.reject(new DOMException('gone', 'NotFoundError')) }),
    } as unknown as Blob;
    const source = blobSource('hills.tif', gone);
    for (const read of [source.read(0, 10), source.readAll()])
      expect(await read).toMatchObject({
        ok: false,
        failure: { code: 'unreadable', where: 'hills.tif', todo: 'Add the file again.' },
      });
  });
});
