/**
 * How well origin is told apart on the demo, whose truth is known: `node src/cli/ts.mjs tests/report/origin.ts` prints it as
 * Markdown; `--write` puts it into README.md and draws the plot.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { PLOT, withSection } from './markdown.ts';
import { report } from './report.ts';

const { section, plot } = await report();
console.log(section);
if (process.argv.includes('--write')) {
  writeFileSync('README.md', withSection(readFileSync('README.md', 'utf8'), section));
  writeFileSync(PLOT, plot);
}
