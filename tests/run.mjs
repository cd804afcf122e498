// npm test: types, lint, import rule, unit, reference, state and browser tests. The last line counts them all.
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, openSync, readFileSync, rmSync } from 'node:fs';
import { bin, ensureBuild, ensureChromium, ensurePackages, run } from '../src/cli/setup.mjs';

ensurePackages();
const chromium = ensureChromium();
mkdirSync('out', { recursive: true });
let passed = 0;
let failed = 0;

function step(name, command, args, env) {
  const started = Date.now();
  const ok = run(command, args, env) === 0;
  console.log(`[${name}] ${ok ? 'ok' : 'FAILED'} ${((Date.now() - started) / 1000).toFixed(1)} s`);
  return ok;
}

function check(name, command, args) {
  count(step(name, command, args));
}

function count(ok) {
  if (ok) passed++;
  else failed++;
}

/**
 * A check that takes minutes on one core goes on beside the others; what it says comes with its end. Into a file, since a
 * full pipe would stop it while a step is waited for.
 */
function beside(name, command, args) {
  const started = Date.now();
  const log = `out/${name}.txt`;
  const file = openSync(log, 'w');
  const child = spawn(command, args, {
    stdio: ['ignore', file, file],
    shell: process.platform === 'win32',
  });
  const end = new Promise((resolve) => {
    child.once('error', () => resolve(false));
    child.once('exit', (code) => resolve(code === 0));
  });
  return async () => {
    const ok = await end;
    process.stdout.write(readFileSync(log, 'utf8'));
    console.log(`[${name}] ${ok ? 'ok' : 'FAILED'} after ${((Date.now() - started) / 1000).toFixed(1)} s`);
    count(ok);
  };
}

function suite(project) {
  const json = `out/${project}.json`;
  rmSync(json, { force: true });
  const args = [
    'run',
    '--project',
    project,
    '--silent=passed-only',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${json}`,
  ];
  const ok = step(project, bin('vitest'), args, { CHROMIUM_PATH: chromium });
  const report = existsSync(json)
    ? JSON.parse(readFileSync(json, 'utf8'))
    : { numPassedTests: 0, numFailedTests: 0 };
  passed += report.numPassedTests;
  failed += report.numFailedTests;
  // A file that cannot even be loaded has no tests to count, and still is a failure.
  if (!ok && report.numFailedTests === 0) failed++;
}

const linted = beside('lint', bin('eslint'), [
  '.',
  '--cache',
  '--cache-location',
  'node_modules/.cache/eslint/',
]);
check('format', bin('prettier'), ['--check', '--log-level', 'warn', '.']);
check('types: app', bin('svelte-check'), ['--tsconfig', './tsconfig.json', '--fail-on-warnings']);
check('types: domain without DOM', bin('tsc'), ['-p', 'src/domain/tsconfig.json']);
check('types: worker', bin('tsc'), ['-p', 'src/jobs/tsconfig.json']);
suite('architecture');
suite('reference');
suite('state');
await linted();
suite('unit');
ensureBuild();
suite('browser');
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
