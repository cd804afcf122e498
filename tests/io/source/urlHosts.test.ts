/** Hosts of Node's http server that behave as hosts in the field do, by their real answers and headers. */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { gzipSync } from 'node:zlib';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { MOST_WITHOUT_RANGES, urlSource } from '../../../src/io/source/url.ts';
import { pattern } from './host.ts';

const BLOCK = 65_536;
const all = pattern(3 * BLOCK + 77);
const servers: Server[] = [];

type Answer = (request: IncomingMessage, response: ServerResponse, range: [number, number] | null) => void;

/** Address of a file on a host that answers so. */
async function serve(answer: Answer): Promise<string> {
  const server = createServer((request, response) => {
    const match = /^bytes=(\d+)-(\d+)$/.exec(request.headers.range ?? '');
    answer(request, response, match ? [Number(match[1]), Number(match[2])] : null);
  });
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return `http://127.0.0.1:${(server.address() as AddressInfo).port}/d/heights.tif`;
}

/** As RFC 9110 has it, with `change` to what is sent. */
const ranges =
  (change: (part: Uint8Array, headers: Record<string, string>) => Uint8Array | null = (p) => p): Answer =>
  (_request, response, range) => {
    const [from, last] = range ?? [0, all.length - 1];
    if (from >= all.length) {
      response.writeHead(416, { 'content-range': `bytes */${all.length}` }).end();
      return;
    }
    const part = all.slice(from, last + 1);
    const headers: Record<string, string> = {
      'content-range': `bytes ${from}-${from + part.length - 1}/${all.length}`,
    };
    const sent = change(part, headers);
    if (sent) response.writeHead(206, headers).end(sent);
  };

async function failureOf(url: string, offset = BLOCK + 5) {
  const read = await urlSource(url).read(offset, 10);
  if (read.ok) throw new Error('a failure was expected');
  expect(read.failure).toMatchObject({ code: 'unreadable', where: 'heights.tif' });
  expect(read.failure.todo).not.toBe('');
  return read.failure;
}

afterEach(async () => {
  vi.unstubAllGlobals();
  for (const server of servers.splice(0)) {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  }
});

describe('a host that sends parts', () => {
  it('gives them, and its size', async () => {
    const source = urlSource(await serve(ranges()));
    const read = await source.read(BLOCK - 3, 10);
    expect(read.ok && Buffer.compare(read.value, all.slice(BLOCK - 3, BLOCK + 7))).toBe(0);
    expect(source.size).toBe(all.length);
    const beyond = await urlSource(await serve(ranges())).read(9 * BLOCK, 10);
    expect(beyond.ok && beyond.value.length).toBe(0);
  });

  it('without saying which part, as a browser shows it where the host does not expose the header', async () => {
    const url = await serve(ranges((part, headers) => (delete headers['content-range'], part)));
    const source = urlSource(url);
    const read = await source.read(2 * BLOCK + 3, 10);
    expect(read.ok && Buffer.compare(read.value, all.slice(2 * BLOCK + 3, 2 * BLOCK + 13))).toBe(0);
    expect(source.size).toBeNull();
  });

  it.each<[string, Answer, RegExp, RegExp]>([
    [
      'of another place',
      ranges((p, h) => ((h['content-range'] = `bytes 0-${p.length - 1}/${all.length}`), p)),
      /sends other bytes than those asked for/,
      /from disk/,
    ],
    [
      'longer than asked for, without saying which',
      ranges((_p, h) => (delete h['content-range'], all)),
      /sends other bytes than those asked for/,
      /from disk/,
    ],
    [
      'shorter than they should be',
      ranges((p) => p.slice(0, 100)),
      /broke off while it was fetched from .* \(100 of 65536 bytes came\)/,
      /Try again/,
    ],
    [
      'that are described in another unit',
      ranges((p, h) => ((h['content-range'] = 'items 0-5/10'), p)),
      /says of a part that it is "items 0-5\/10"/,
      /from disk/,
    ],
    [
      'packed',
      ranges((p, h) => ((h['content-encoding'] = 'gzip'), gzipSync(p))),
      /packs the parts that it sends \(gzip\)/,
      /from disk/,
    ],
    [
      'several at once',
      ranges((p, h) => ((h['content-type'] = 'multipart/byteranges; boundary=x'), p)),
      /several parts at once/,
      /from disk/,
    ],
  ])('%s', async (_name, answer, what, todo) => {
    const failure = await failureOf(await serve(answer));
    expect(failure.what).toMatch(what);
    expect(failure.what).toContain('127.0.0.1');
    expect(failure.todo).toMatch(todo);
  });

  it('of a file that changes meanwhile', async () => {
    let total = all.length;
    const url = await serve(
      ranges((p, h) => {
        h['content-range'] = (h['content-range'] ?? '').replace(/\d+$/, String(total));
        total++;
        return p;
      }),
    );
    const source = urlSource(url);
    expect((await source.read(0, 10)).ok).toBe(true);
    const second = await source.read(BLOCK, 10);
    expect(second).toMatchObject({ ok: false, failure: { code: 'unreadable' } });
    if (!second.ok) expect(second.failure.what).toMatch(/was changed on 127\.0\.0\.1:\d+ while it was read/);
  });
});

describe('a host that does not send parts', () => {
  it('sends a small file whole, packed on the way or not', async () => {
    for (const packed of [false, true]) {
      const url = await serve((_request, response) =>
        response
          .writeHead(200, packed ? { 'content-encoding': 'gzip' } : {})
          .end(packed ? gzipSync(all) : all),
      );
      const source = urlSource(url);
      const read = await source.read(BLOCK + 5, 10);
      expect(read.ok && Buffer.compare(read.value, all.slice(BLOCK + 5, BLOCK + 15))).toBe(0);
      expect(source.size).toBe(all.length);
    }
  });

  it('of a large one is left before it has sent much', async () => {
    let closed = false;
    const url = await serve((_request, response) => {
      response.on('close', () => (closed = true));
      response.writeHead(200, { 'content-length': String(MOST_WITHOUT_RANGES + 1) });
      response.write(all);
    });
    const failure = await failureOf(url);
    expect(failure.what).toMatch(/67 MB on a host \(127\.0\.0\.1:\d+\) that does not send parts of files/);
    await vi.waitFor(() => expect(closed).toBe(true));
  });
});

describe('a host to which another leads', () => {
  it('is read, and named where it is the trouble', async () => {
    const good = await serve(ranges());
    const lead = async (to: string) =>
      (await serve((_request, response) => response.writeHead(302, { location: to }).end())).replace(
        '127.0.0.1',
        'localhost',
      );
    const read = await urlSource(await lead(good)).read(5, 10);
    expect(read.ok && Buffer.compare(read.value, all.slice(5, 15))).toBe(0);
    const bad = await serve((_request, response) => response.writeHead(403).end('no'));
    const failure = await failureOf(await lead(bad));
    expect(failure.what).toMatch(
      /is refused by the host \(127\.0\.0\.1:\d+ \(to which localhost:\d+ leads\) answers 403\)/,
    );
    expect(failure.todo).toMatch(/sign-in/);
  });

  it('round in a circle gives no answer', async () => {
    const url = await serve((request, response) =>
      response.writeHead(302, { location: request.url ?? '' }).end(),
    );
    expect((await failureOf(url)).what).toMatch(/cannot be fetched from 127\.0\.0\.1/);
  });
});

describe('a host that gives nothing', () => {
  it.each([
    [404, /is not there/, /Check the address/],
    [410, /is not there/, /Check the address/],
    [401, /is refused by the host/, /sign-in/],
    [429, /is refused by the host/, /later/],
    [503, /is refused by the host/, /later/],
  ])('answers %i', async (status, what, todo) => {
    const failure = await failureOf(
      await serve((_request, response) => response.writeHead(status).end('sorry')),
    );
    expect(failure.what).toMatch(what);
    expect(failure.what).toContain(`answers ${status}`);
    expect(failure.todo).toMatch(todo);
  });

  it('breaks off in the middle', async () => {
    const url = await serve((_request, response, range) => {
      response.writeHead(206, {
        'content-range': `bytes ${range?.[0]}-${range?.[1]}/${all.length}`,
        'content-length': '65536',
      });
      response.write(all.slice(0, 1000));
      setTimeout(() => response.destroy(), 20);
    });
    expect((await failureOf(url)).what).toMatch(/broke off while it was fetched/);
  });

  it('is not there at all', async () => {
    const url = await serve(ranges());
    for (const server of servers.splice(0)) await new Promise((resolve) => server.close(resolve));
    expect((await failureOf(url)).what).toMatch(/not reachable/);
  });
});

describe('in a browser, which does not say why there is no answer', () => {
  const refused = (answersBlindly: boolean) => {
    const asked: Array<string | undefined> = [];
    return {
      asked,
      fetch: (_url: string, init?: RequestInit) => {
        asked.push(init?.mode);
        return init?.mode === 'no-cors' && answersBlindly
          ? Promise.resolve(new Response(null))
          : Promise.reject(new TypeError('Failed to fetch'));
      },
    };
  };
  const say = async (url: string, fetch: Parameters<typeof urlSource>[1]) => {
    const read = await urlSource(url, fetch).read(0, 10);
    if (read.ok) throw new Error('a failure was expected');
    return `${read.failure.what}. ${read.failure.todo}`;
  };

  it('a host that answers when asked blindly forbids reading, one that does not is not there', async () => {
    vi.stubGlobal('location', { protocol: 'https:' });
    const closed = refused(true);
    expect(await say('https://maps.invalid/a.tif', closed.fetch)).toMatch(
      /the host answers, but does not allow.*CORS.*Download/,
    );
    expect(closed.asked).toEqual([undefined, 'no-cors']);
    expect(await say('https://maps.invalid/a.tif', refused(false).fetch)).toMatch(
      /is not reachable\. Check the address/,
    );
  });

  it('an address without encryption on a page that came with it', async () => {
    vi.stubGlobal('location', { protocol: 'https:' });
    const { fetch, asked } = refused(false);
    expect(await say('http://maps.invalid/a.tif', fetch)).toMatch(
      /begin with http:.*Use the address with https:/,
    );
    expect(asked).toEqual([undefined]);
  });
});
