// node src/cli/ts.mjs ENTRY.ts [ARGUMENTS]: runs a TypeScript file of this project.
import { relative, resolve } from 'node:path';
import { bundle, root } from './bundle.mjs';

const entry = process.argv[2];
if (!entry) {
  console.error('usage: node src/cli/ts.mjs ENTRY.ts [ARGUMENTS]');
  process.exit(2);
}
const url = await bundle(relative(root, resolve(entry)));
process.argv.splice(1, 2, resolve(entry));
await import(url);
