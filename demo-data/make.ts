/**
 * Makes the invented demo workspace: `node src/cli/ts.mjs demo-data/make.ts [FOLDER]`, by default into demo-data/.
 * Deterministic: the same files on every run. What can be tuned stands at the top of the modules in demo-data/lib/.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { makeAll } from './lib/make-all.ts';

const folder = process.argv[2] ?? dirname(process.argv[1]);
mkdirSync(folder, { recursive: true });
let total = 0;
for (const [name, bytes] of makeAll()) {
  writeFileSync(join(folder, name), bytes);
  total += bytes.length;
  console.log(`${name.padEnd(44)} ${String(bytes.length).padStart(9)}`);
}
console.log(`${'all'.padEnd(44)} ${String(total).padStart(9)}`);
