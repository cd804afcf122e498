/** A table of a million rows and 15 columns: opened as candidates, with the longest wait between two pauses and the memory used. */
import Papa from 'papaparse';
import { createWriteStream, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { pathSource } from '../../src/cli/pathSource.ts';
import { rng } from '../../src/domain/base/rng.ts';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';

const ROWS = 1_000_000;
const PIECE = 10_000;
const NAMES = ['Quercus alba', 'Q. rubra', 'bur oak', 'Quercus velutina Lam.', 'Quercus ×bebbiana', 'QUCO2'];
const SETTINGS = ['forest', 'old field', 'fence row'];

function* text(): Generator<string> {
  const random = rng(9);
  yield 'tree_id,species,longitude,latitude,accuracy_m,dbh_cm,form,crown,last_crop,owner,permission,stand,setting,date,notes\n';
  for (let from = 0; from < ROWS; from += PIECE) {
    let piece = '';
    for (let i = from; i < from + PIECE; i++) {
      // One quotation mark that is never closed, late in the file.
      const notes = i === 900_000 ? '"open' : `"note ${i}, near the ""old"" wall"`;
      piece += `T${i},${NAMES[i % 6]},${(-85 + random() * 6).toFixed(6)},${(36 + random() * 4).toFixed(6)},${3 + (i % 9)},${(20 + random() * 80).toFixed(1)},${i % 5},${(i * 7) % 5},${(i * 3) % 5},Owner ${i % 3000},${i % 2 ? 'yes' : 'asked'},Stand ${i % 9000},${SETTINGS[i % 3]},${1 + (i % 12)}/${1 + (i % 28)}/2024,${notes}\n`;
    }
    yield piece;
  }
}

const folder = mkdtempSync(join(tmpdir(), 'bench-table-'));
const path = join(folder, 'trees.csv');
try {
  await pipeline(Readable.from(text()), createWriteStream(path));
  const source = pathSource(path);
  if (!source.ok) throw new Error(source.failure.what);
  let longest = 0;
  let last = performance.now();
  const entry = { id: 'c', definition: 'candidates', path: 'trees.csv', band: 1 } as LayerEntry;
  const t = performance.now();
  const opened = await openLayer(createDesk(), entry, source.value, {
    async pause() {
      longest = Math.max(longest, performance.now() - last);
      await new Promise<void>((done) => setImmediate(done));
      last = performance.now();
    },
  });
  const own = performance.now() - t;
  if (!opened.ok) throw new Error(opened.failure.what);
  const peak = process.resourceUsage().maxRSS / 1000;
  const { candidates, notes } = opened.value;
  if (candidates?.n !== ROWS) throw new Error(`${candidates?.n} of ${ROWS} rows were read`);
  if (!notes.some((n) => n.where.endsWith('row 900002') && n.what.includes('not closed')))
    throw new Error('the open quotation mark was not noted');
  const whole = readFileSync(path, 'utf8');
  const p = performance.now();
  const rows = Papa.parse(whole, { header: false }).data.length;
  const peer = performance.now() - p;
  console.log(
    JSON.stringify({
      table: {
        rows: ROWS,
        columns: 15,
        megabytes: Math.round(statSync(path).size / 1e6),
        ms: Math.round(own),
        longestBetweenPausesMs: Math.round(longest),
        peakRssMb: Math.round(peak),
        peer: 'Papa Parse, whole text to arrays (cells only)',
        peerMs: Math.round(peer),
        peerRows: rows,
        ratio: Number((peer / own).toFixed(2)),
      },
    }),
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
