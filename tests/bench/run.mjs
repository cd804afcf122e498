// npm run bench: figures as JSON on standard output. Timings are measured here and never asserted in a test.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { cpus } from 'node:os';
import { gzipSync } from 'node:zlib';
import { ensureBuild, ensureChromium, ensurePackages } from '../../src/cli/setup.mjs';

ensurePackages();
ensureBuild();

/** JavaScript that the page loads before the map library: the scripts named by index.html, with what they import at once. */
function initialScript() {
  const html = readFileSync('dist/index.html', 'utf8');
  const wanted = [...html.matchAll(/(?:src|href)="\.\/(assets\/[^"]+\.js)"/g)].map((m) => m[1]);
  const seen = new Set();
  for (const file of wanted) {
    if (seen.has(file)) continue;
    seen.add(file);
    const text = readFileSync(`dist/${file}`, 'utf8');
    for (const m of text.matchAll(/(?:^|[;\n}])import\s*(?:[^'"()]*?from\s*)?["']\.\/([^"']+\.js)["']/g))
      wanted.push(`assets/${m[1]}`);
  }
  return [...seen].reduce((sum, f) => sum + gzipSync(readFileSync(`dist/${f}`)).length, 0);
}

const timed = (command, args) => {
  const t = performance.now();
  spawnSync(command, args, { stdio: 'ignore' });
  return performance.now() - t;
};
const median = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

/** Figures of one bench, run as a process of its own, so that its memory is its own. */
function figures(file, ...flags) {
  const run = spawnSync(process.execPath, [...flags, 'src/cli/ts.mjs', `tests/bench/${file}.ts`], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
    maxBuffer: 1e8,
  });
  if (run.status !== 0) process.exit(run.status ?? 1);
  return JSON.parse(run.stdout);
}
const heavy = figures('main', '--expose-gc');
const table = figures('table');
const zones = figures('zones');
const surface = figures('surface');
const evidence = figures('origin');
timed(process.execPath, ['src/cli/kinstand.mjs', '--help']);
const start = median(
  Array.from({ length: 5 }, () => timed(process.execPath, ['src/cli/kinstand.mjs', '--help'])),
);
const plain = median(Array.from({ length: 5 }, () => timed(process.execPath, ['-e', '0'])));
/** Milliseconds from the load event until the demo's ten members are listed and the map is at rest; median of five visits. */
async function demoOnMap() {
  const { chromium } = await import('playwright-core');
  const { preview } = await import('vite');
  const server = await preview({ preview: { port: 0, host: '127.0.0.1' }, logLevel: 'warn' });
  const browser = await chromium.launch({
    executablePath: ensureChromium(),
    headless: true,
    args: ['--no-sandbox', '--disable-background-networking'],
  });
  const times = [];
  for (let i = 0; i < 5; i++) {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
    const page = await context.newPage();
    await page.goto(server.resolvedUrls.local[0]);
    const t = performance.now();
    await page.waitForFunction(
      () =>
        document.querySelectorAll('.panel tbody .tree').length >= 10 &&
        document.documentElement.dataset.map === 'idle',
    );
    times.push(performance.now() - t);
    await context.close();
  }
  await browser.close();
  server.httpServer.closeAllConnections?.();
  await server.close();
  return Math.round(median(times));
}

const demoMs = await demoOnMap();
const map = existsSync('dist/assets')
  ? readdirSync('dist/assets').filter((f) => /^maplibre-.*\.js$/.test(f) && !f.includes('worker'))
  : [];

console.log(
  JSON.stringify(
    {
      machine: { processor: cpus()[0]?.model ?? 'unknown', cores: cpus().length, node: process.version },
      demoMembersOnMapMs: demoMs,
      initialScriptGzipKb: Number((initialScript() / 1000).toFixed(1)),
      mapLibraryGzipKb: Number(
        (map.reduce((s, f) => s + gzipSync(readFileSync(`dist/assets/${f}`)).length, 0) / 1000).toFixed(1),
      ),
      commandStart: {
        peer: 'node -e 0',
        ms: Math.round(start),
        peerMs: Math.round(plain),
        ratio: Number((start / plain).toFixed(2)),
      },
      ...heavy,
      ...table,
      ...zones,
      ...surface,
      ...evidence,
    },
    null,
    2,
  ),
);
