/**
 * Rasters in every way of packing, in Chromium, by the worker of the built app: with the policy of index.html alone, and on a
 * host that sends the same policy with every answer, so that it binds the worker too.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname } from 'node:path';
import { chromium, type Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
};
const FIXTURES = 'tests/fixtures/rasters/formats';
const FILES: ReadonlyArray<readonly [file: string, packed: string]> = [
  ['t-float32-zstd-differences.tif', 'ZSTD'],
  ['t-float32-lerc.tif', 'LERC'],
  ['t-float32-lerc_deflate.tif', 'LERC and deflate'],
  ['t-float32-lerc_zstd.tif', 'LERC and ZSTD'],
  ['t-uint16-lzw-differences.tif', 'LZW'],
  ['t-uint8-packbits.tif', 'PackBits'],
  ['t-jpeg-colour.tif', 'JPEG'],
  ['refused-webp.tif', 'WebP'],
];

const policy =
  /Content-Security-Policy"\s+content="([^"]+)"/.exec(readFileSync('index.html', 'utf8'))?.[1] ?? '';
const worker = readdirSync('dist/assets').find((f) => /^worker-.*\.js$/.test(f)) ?? '';

let browser: Browser;
const servers: Server[] = [];

beforeAll(async () => {
  browser = await chromium.launch({
    executablePath: process.env['CHROMIUM_PATH'] ?? '/usr/bin/chromium',
    headless: true,
    args: ['--no-sandbox'],
  });
});
afterAll(async () => {
  await browser.close();
  for (const server of servers) {
    server.closeAllConnections();
    server.close();
  }
});

async function serve(withPolicy: boolean): Promise<string> {
  const server = createServer((request, response) => {
    const path = request.url === '/' ? '/index.html' : (request.url ?? '').split('?')[0];
    const file = path.startsWith('/fixture/') ? `${FIXTURES}/${path.slice(9)}` : `dist${path}`;
    if (!existsSync(file)) {
      response.writeHead(404).end();
      return;
    }
    const type = TYPES[extname(file)] ?? 'application/octet-stream';
    response
      .writeHead(200, { 'content-type': type, ...(withPolicy ? { 'content-security-policy': policy } : {}) })
      .end(readFileSync(file));
  });
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
}

describe.each([
  ['of the page alone', false],
  ['of the host, for the worker too', true],
])('under the policy %s', (_name, withPolicy) => {
  it('every way of packing is undone', async () => {
    const page = await browser.newPage();
    await page.goto(await serve(withPolicy));
    const answers = await page.evaluate(
      async ([script, files]) => {
        const said: string[] = [];
        for (const file of files) {
          const blob = await (await fetch(`/fixture/${file}`)).blob();
          const own = new Worker(`/assets/${script}`, { type: 'module' });
          const entry = { id: 'a', definition: 'elevation', band: 1, path: file, columns: {} };
          const answer = await new Promise<{
            kind: string;
            failure?: { what: string };
            output?: { raster: { low: number } };
          }>((resolve) => {
            own.onmessage = ({ data }: MessageEvent<{ kind: string }>) => {
              if (data.kind !== 'progress') resolve(data);
            };
            own.postMessage({
              kind: 'run',
              id: 1,
              job: 'open',
              input: { entry, bytes: { kind: 'blob', name: file, blob } },
            });
          });
          own.terminate();
          said.push(
            answer.failure?.what ?? (Number.isFinite(answer.output?.raster.low) ? answer.kind : 'no values'),
          );
        }
        return said;
      },
      [worker, FILES.map(([file]) => file)] as const,
    );
    expect(FILES.map(([, packed], i) => `${packed}: ${answers[i]}`)).toEqual(
      FILES.map(([, packed]) => `${packed}: done`),
    );
    await page.close();
  });
});
