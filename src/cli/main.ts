/** The `kinstand` command: the same domain and readers as the app, without a browser. */
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { sentence } from '../domain/base/result.ts';
import { Cancelled, type Work } from '../domain/base/work.ts';
import { useInflate } from '../io/read/rasters/hostInflate.ts';
import { useDeflate } from '../io/write/hostDeflate.ts';
import { nodeDeflate } from './nodeDeflate.ts';
import { nodeInflate } from './nodeInflate.ts';
import { adjacency } from './verbs/adjacency.ts';
import { choose } from './verbs/choose.ts';
import { convert } from './verbs/convert.ts';
import { inspect } from './verbs/inspect.ts';
import { locate } from './verbs/locate.ts';
import { match } from './verbs/match.ts';
import { order } from './verbs/order.ts';
import { origin } from './verbs/origin.ts';
import { pattern } from './verbs/pattern.ts';
import { run } from './verbs/run.ts';
import { sample } from './verbs/sample.ts';
import { terrain } from './verbs/terrain.ts';
import { surface } from './verbs/surface.ts';
import { zones } from './verbs/zones.ts';
import type { Verb } from './verb.ts';

const VERBS: readonly Verb[] = [
  run,
  inspect,
  sample,
  terrain,
  match,
  origin,
  surface,
  zones,
  choose,
  order,
  adjacency,
  pattern,
  locate,
  convert,
];

const overview = (): string =>
  [
    'kinstand VERB [options]',
    '',
    ...VERBS.map((v) => `  ${v.usage}`),
    '',
    'With --json one JSON document goes to standard output; progress goes to standard error.',
    'kinstand VERB --help explains one verb. Exit code 0: done; 2: input refused, with its sentence on standard error.',
  ].join('\n');

/** Progress on one line of a terminal; nothing where standard error is a file or a pipe. */
function terminalWork(): Work {
  return {
    progress(done, total, what) {
      if (process.stderr.isTTY)
        process.stderr.write(`\r${what}: ${done} of ${total}\u001b[K${done >= total ? '\n' : ''}`);
    },
  };
}

/** @returns the exit code. */
export async function main(argv: string[]): Promise<number> {
  const [name, ...rest] = argv;
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    console.log(overview());
    return name === undefined ? 2 : 0;
  }
  const verb = VERBS.find((v) => v.name === name);
  if (!verb) {
    console.error(
      `${name}: is not a verb of this command. Use one of ${VERBS.map((v) => v.name).join(', ')}.`,
    );
    return 2;
  }
  if (rest.includes('--help') || rest.includes('-h')) {
    console.log(`kinstand ${verb.usage}\n\n${verb.help}`);
    return 0;
  }
  const json = rest.includes('--json');
  useInflate(nodeInflate);
  useDeflate(nodeDeflate);
  try {
    const result = await verb.run(
      rest.filter((a) => a !== '--json'),
      terminalWork(),
    );
    if (!result.ok) {
      console.error(sentence(result.failure));
      return 2;
    }
    const { stream, notes = [] } = result.value;
    if (stream) {
      await write(stream(json));
      for (const n of notes) console.error(`${n.where}: ${n.what}`);
      return 0;
    }
    const { json: document, lines, refused = [] } = result.value;
    if (json) process.stdout.write(JSON.stringify(document, finite, 2) + '\n');
    else for (const line of lines) console.log(line);
    for (const failure of refused) console.error(sentence(failure));
    return refused.length > 0 ? 2 : 0;
  } catch (error) {
    if (error instanceof Cancelled) return 2;
    throw error;
  }
}

/** Writes piece by piece, no faster than the reader takes it. A reader that goes away (`| head`) ends the writing. */
async function write(pieces: Iterable<string>): Promise<void> {
  await pipeline(Readable.from(pieces), process.stdout, { end: false }).catch((error: unknown) => {
    if ((error as NodeJS.ErrnoException).code !== 'EPIPE') throw error;
  });
}

/** JSON has no NaN: what is not known is null. Typed arrays become plain lists. */
function finite(_key: string, value: unknown): unknown {
  if (typeof value === 'number') return Number.isFinite(value) ? value : null;
  if (ArrayBuffer.isView(value)) return Array.from(value as unknown as ArrayLike<number>);
  return value;
}
