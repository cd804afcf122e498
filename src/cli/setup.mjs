// What `npm start` and `npm test` need before anything is installed: Node built-ins only.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { accessSync, constants, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { filesBelow, root, stampOf } from './bundle.mjs';

process.chdir(root);
const [major, minor] = process.versions.node.split('.').map(Number);
if (major < 20 || (major === 20 && minor < 19))
  fail(`Node 20.19 or newer is needed; this is ${process.version}.`);

export function fail(message) {
  console.error(message);
  process.exit(1);
}

/** Runs a command in the foreground; gives its exit code. */
export function run(command, args, env = {}) {
  const r = spawnSync(command, args, {
    stdio: 'inherit',
    shell: process.platform === 'win32',
    env: { ...process.env, ...env },
  });
  if (r.error) fail(`${command}: ${r.error.message}`);
  return r.status ?? 1;
}

function must(command, args, env) {
  const code = run(command, args, env);
  if (code !== 0) process.exit(code);
}

export const bin = (name) => join('node_modules', '.bin', name);

export function ensurePackages() {
  const stamp = join('node_modules', '.install-stamp');
  const want = createHash('sha256')
    .update(process.version)
    .update(readFileSync('package-lock.json'))
    .update(readFileSync('package.json'))
    .digest('hex');
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === want) return;
  console.log('Installing packages (npm ci) ...');
  must('npm', ['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error']);
  writeFileSync(stamp, want);
}

function onPath(name) {
  for (const dir of (process.env.PATH ?? '').split(delimiter)) {
    const file = join(dir, name);
    try {
      accessSync(file, constants.X_OK);
      return file;
    } catch {
      // Not in this folder; the next one may hold it.
    }
  }
  return null;
}

function findChromium() {
  if (process.env.CHROMIUM_PATH) return process.env.CHROMIUM_PATH;
  for (const name of ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome']) {
    const file = onPath(name);
    if (file) return file;
  }
  return null;
}

/** Path of a Chromium for the browser tests; installs Debian's where that is allowed, else says how to get one. */
export function ensureChromium() {
  const found = findChromium();
  if (found) return found;
  if (process.getuid?.() === 0 && onPath('apt-get')) {
    console.log('Installing Chromium from Debian ...');
    const env = { DEBIAN_FRONTEND: 'noninteractive' };
    const install = ['install', '-y', '-qq', '--no-install-recommends', 'chromium'];
    if (run('apt-get', install, env) !== 0) {
      run('apt-get', ['update', '-qq'], env);
      run('apt-get', install, env);
    }
  }
  return (
    findChromium() ??
    fail(
      'The browser tests need Chromium. Install it (Debian: apt-get install chromium) or set CHROMIUM_PATH to its program.',
    )
  );
}

/** Builds the app into dist/ when any of its inputs changed. */
export function ensureBuild() {
  const inputs = [
    'package-lock.json',
    'index.html',
    'vite.config.ts',
    ...filesBelow('src'),
    ...filesBelow('layers'),
    ...filesBelow('public'),
    ...filesBelow('demo-data'),
  ];
  const want = stampOf(inputs);
  const stamp = join('node_modules', '.build-stamp');
  if (existsSync('dist/index.html') && existsSync(stamp) && readFileSync(stamp, 'utf8') === want) return;
  must(process.execPath, [join('node_modules', 'vite', 'bin', 'vite.js'), 'build', '--logLevel', 'warn']);
  writeFileSync(stamp, want);
}
