import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Result } from '../../../src/domain/base/result.ts';
import { MOST_WITHOUT_RANGES, urlSource } from '../../../src/io/source/url.ts';
import { host, pattern, whole } from './host.ts';

const BLOCK = 65_536;
const URL = 'https://maps.invalid/data/elevation%201.tif?v=2';

async function bytesOf(result: Promise<Result<Uint8Array>>): Promise<Uint8Array> {
  const r = await result;
  if (!r.ok) throw new Error(r.failure.what);
  return r.value;
}

async function failureOf(result: Promise<Result<unknown>>) {
  const r = await result;
  if (r.ok) throw new Error('a failure was expected');
  const { code, where, what, todo } = r.failure;
  for (const text of [where, what, todo]) expect(text.trim()).not.toBe('');
  return { code, where, what, todo };
}

/** As toEqual, but quick for many bytes. */
function expectSame(bytes: Uint8Array, expected: Uint8Array): void {
  expect(bytes.length).toBe(expected.length);
  expect(Buffer.compare(bytes, expected)).toBe(0);
}

describe('a file at an address', () => {
  it('is named by the last part of its path', () => {
    const name = (url: string) => urlSource(url, host(pattern(1)).fetch).name;
    expect(name(URL)).toBe('elevation 1.tif');
    expect(name('https://maps.invalid/')).toBe('https://maps.invalid/');
    // A per cent sign that encodes nothing.
    expect(name('https://maps.invalid/100%.csv')).toBe('100%.csv');
  });

  it('gives any slice as memory does, in 200 random reads of one file', async () => {
    const all = pattern(5 * BLOCK + 1234);
    const source = urlSource(URL, host(all).fetch);
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 0, max: all.length + 10 }),
        fc.integer({ min: 0, max: 2 * BLOCK }),
        async (offset, length) => {
          expectSame(await bytesOf(source.read(offset, length)), all.subarray(offset, offset + length));
        },
      ),
      { numRuns: 200, seed: 20261125 },
    );
    expect(source.size).toBe(all.length);
  });

  it('asks for whole blocks, for neighbours in one request, and for none twice', async () => {
    const all = pattern(10 * BLOCK);
    const { fetch, asked } = host(all);
    const source = urlSource(URL, fetch);
    await bytesOf(source.read(10, 20));
    await bytesOf(source.read(BLOCK - 5, 5));
    expect(asked).toEqual([`bytes=0-${BLOCK - 1}`]);
    // Blocks 3 and 4 are held: of 2 to 6, blocks 2 and 5 to 6 are asked for.
    await bytesOf(source.read(3 * BLOCK, 2 * BLOCK));
    await bytesOf(source.read(2 * BLOCK + 1, 5 * BLOCK - 1));
    expect(asked.slice(1)).toEqual([
      `bytes=${3 * BLOCK}-${5 * BLOCK - 1}`,
      `bytes=${2 * BLOCK}-${3 * BLOCK - 1}`,
      `bytes=${5 * BLOCK}-${7 * BLOCK - 1}`,
    ]);
    await bytesOf(source.read(0, BLOCK));
    await bytesOf(source.read(6 * BLOCK, BLOCK));
    expect(asked.length).toBe(4);
  });

  it('asks once where two readers want one block at the same time', async () => {
    const { fetch, asked } = host(pattern(3 * BLOCK));
    const source = urlSource(URL, fetch);
    await Promise.all([
      bytesOf(source.read(0, 10)),
      bytesOf(source.read(5, 10)),
      bytesOf(source.read(99, 1)),
    ]);
    expect(asked.length).toBe(1);
  });

  it('gives a slow reader its blocks though others have pushed them out meanwhile', async () => {
    const all = pattern(700 * BLOCK);
    const { fetch } = host(all);
    let release = (): void => undefined;
    const slow = new Promise<void>((resolve) => (release = resolve));
    const source = urlSource(URL, async (url, init) => {
      if (new Headers(init?.headers).get('range')?.startsWith('bytes=0-')) await slow;
      return fetch(url, init);
    });
    await bytesOf(source.read(2 * BLOCK, 10));
    // Blocks 0 and 1 come late, block 2 is there; then 600 other blocks are read.
    const waiting = bytesOf(source.read(0, 3 * BLOCK));
    for (let b = 10; b < 610; b += 50) await bytesOf(source.read(b * BLOCK, 50 * BLOCK));
    release();
    expectSame(await waiting, all.subarray(0, 3 * BLOCK));
  });

  it('ends at the end of the file: a short last block, nothing beyond it, an empty file', async () => {
    const all = pattern(BLOCK + 100);
    const source = urlSource(URL, host(all).fetch);
    expectSame(await bytesOf(source.read(BLOCK + 50, 500)), all.slice(BLOCK + 50));
    expect((await bytesOf(source.read(BLOCK + 100, 10))).length).toBe(0);
    // Beyond the end before the size is known: the host answers 416.
    const fresh = urlSource(URL, host(all).fetch);
    expect((await bytesOf(fresh.read(9 * BLOCK, 10))).length).toBe(0);
    expect(fresh.size).toBe(all.length);
    const empty = urlSource(URL, host(new Uint8Array(0)).fetch);
    expect((await bytesOf(empty.read(0, 512))).length).toBe(0);
  });

  it('reads all in one request', async () => {
    const all = pattern(2 * BLOCK + 5);
    const { fetch, asked } = host(all);
    expectSame(await bytesOf(urlSource(URL, fetch).readAll()), all);
    expect(asked).toEqual(['all']);
  });
});

describe('a host that does not send parts of files', () => {
  it('is asked once for a small file, which is kept', async () => {
    const all = pattern(3 * BLOCK);
    let asked = 0;
    const source = urlSource(URL, () => {
      asked++;
      return Promise.resolve(whole(all));
    });
    expectSame(await bytesOf(source.read(BLOCK + 3, 10)), all.slice(BLOCK + 3, BLOCK + 13));
    expectSame(await bytesOf(source.read(2 * BLOCK + 3, 2 * BLOCK)), all.slice(2 * BLOCK + 3));
    expectSame(await bytesOf(source.readAll()), all);
    expect(source.size).toBe(all.length);
    expect(asked).toBe(1);
  });

  it('is refused for a large file before its bytes are taken', async () => {
    let taken = 0;
    const body = new ReadableStream({
      pull(controller) {
        taken++;
        controller.enqueue(new Uint8Array(1024));
      },
    });
    const headers = { 'content-length': String(MOST_WITHOUT_RANGES + 1) };
    const source = urlSource(URL, () => Promise.resolve(new Response(body, { status: 200, headers })));
    const failure = await failureOf(source.read(0, 512));
    expect(failure).toMatchObject({ code: 'unreadable', where: 'elevation 1.tif' });
    expect(failure.what).toMatch(/67 MB.*maps\.invalid.*does not send parts of files/);
    expect(failure.todo).toMatch(/from disk/);
    expect(taken).toBeLessThan(3);
  });

  it('is refused for a large file also where it does not say how large', async () => {
    let taken = 0;
    const megabyte = new Uint8Array(1 << 20);
    const body = new ReadableStream({
      pull(controller) {
        taken++;
        if (taken > 200) controller.close();
        else controller.enqueue(megabyte);
      },
    });
    const source = urlSource(URL, () => Promise.resolve(new Response(body, { status: 200 })));
    const failure = await failureOf(source.read(0, 512));
    expect(failure.what).toMatch(/does not send parts of files/);
    expect(taken).toBeLessThan(70);
  });
});

describe('an address that cannot be read', () => {
  it.each([
    [404, /is not there \(maps\.invalid answers 404\)/],
    [403, /is refused by the host \(maps\.invalid answers 403\)/],
    [500, /is refused by the host \(maps\.invalid answers 500\)/],
  ])('answers %i: one Failure for a part and for all', async (status, what) => {
    const source = urlSource(URL, () => Promise.resolve(new Response('sorry', { status })));
    for (const failure of [await failureOf(source.read(0, 10)), await failureOf(source.readAll())]) {
      expect(failure).toMatchObject({ code: 'unreadable', where: 'elevation 1.tif' });
      expect(failure.what).toMatch(what);
    }
  });

  it('gives no answer, or one that the browser withholds', async () => {
    const source = urlSource(URL, () => Promise.reject(new TypeError('Failed to fetch')));
    const failure = await failureOf(source.read(0, 10));
    expect(failure.code).toBe('unreadable');
    expect(failure.what).toMatch(/maps\.invalid \(Failed to fetch\).*not reachable.*CORS/);
    expect(failure.todo).toMatch(/network/);
  });

  it('is no address at all', async () => {
    const source = urlSource('not an address', () => Promise.reject(new TypeError('Failed to parse URL')));
    expect((await failureOf(source.readAll())).where).toBe('not an address');
  });

  it('breaks off', async () => {
    const broken = new ReadableStream({
      start(controller) {
        controller.enqueue(new Uint8Array(10));
        controller.error(new Error('connection reset'));
      },
    });
    const headers = { 'content-range': 'bytes 0-65535/900000' };
    const source = urlSource(URL, () => Promise.resolve(new Response(broken, { status: 206, headers })));
    expect((await failureOf(source.read(0, 10))).what).toMatch(/broke off.*connection reset/);
  });

  it('is asked again after a failure, for every block of it', async () => {
    const all = pattern(4 * BLOCK);
    const { fetch } = host(all);
    let down = true;
    const source = urlSource(URL, (url, init) =>
      down ? Promise.reject(new TypeError('Failed to fetch')) : fetch(url, init),
    );
    await failureOf(source.read(0, 3 * BLOCK));
    await failureOf(source.read(0, 3 * BLOCK));
    down = false;
    expectSame(await bytesOf(source.read(2 * BLOCK, 10)), all.slice(2 * BLOCK, 2 * BLOCK + 10));
    expectSame(await bytesOf(source.read(0, 4 * BLOCK)), all);
  });

  it('sends another part than was asked for', async () => {
    const all = pattern(4 * BLOCK);
    // A cache on the way that answers every range with the first one it saw.
    const headers = { 'content-range': `bytes 0-${BLOCK - 1}/${all.length}` };
    const source = urlSource(URL, () =>
      Promise.resolve(new Response(all.slice(0, BLOCK), { status: 206, headers })),
    );
    expectSame(await bytesOf(source.read(0, 10)), all.slice(0, 10));
    expect((await failureOf(source.read(2 * BLOCK, 10))).what).toMatch(/other bytes than/);
  });
});
