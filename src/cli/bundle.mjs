// Bundles a TypeScript entry for Node and keeps the result: Node 20 cannot run TypeScript by itself.
// Node built-ins only at the top, so that a start with an unchanged tree loads nothing else.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));

/** Every file below `dir`, as paths from the project's root. */
export function filesBelow(dir) {
  return readdirSync(join(root, dir), { withFileTypes: true })
    .flatMap((e) => (e.isDirectory() ? filesBelow(join(dir, e.name)) : [join(dir, e.name)]))
    .sort();
}

/** A key that changes when any of the files does: name, size and time of change (reading them all would cost a start). */
export function stampOf(files) {
  const h = createHash('sha256').update(process.version);
  for (const f of files) {
    const s = statSync(join(root, f));
    h.update(`${f}\0${s.size}\0${s.mtimeMs}\n`);
  }
  return h.digest('hex');
}

/**
 * Path of the bundle of `entry` (from the root), made anew when anything in src/, layers/ or the entry's own folder changed.
 * The bundle stands inside node_modules, where Node finds the packages it leaves outside.
 */
export async function bundle(entry) {
  const outDir = join(root, 'node_modules', '.cache', 'kinstand');
  const name = entry.replace(/[\\/]/g, '-').replace(/\.ts$/, '');
  const own = entry.replace(/[\\/][^\\/]*$/, '');
  const inputs = [
    ...new Set([...filesBelow('src'), ...filesBelow('layers'), ...filesBelow(own), 'package-lock.json']),
  ].filter((f) => /\.(ts|json|mjs)$/.test(f));
  const want = stampOf(inputs);
  const file = join(outDir, name, 'main.mjs');
  const stamp = join(outDir, name, 'stamp');
  if (!existsSync(file) || !existsSync(stamp) || readFileSync(stamp, 'utf8') !== want) {
    const { build } = await import('vite');
    mkdirSync(join(outDir, name), { recursive: true });
    await build({
      root,
      configFile: false,
      logLevel: 'error',
      ssr: { noExternal: true, external: ['vite', 'vitest', 'highs', 'playwright-core'] },
      build: {
        ssr: join(root, entry),
        outDir: join(outDir, name),
        emptyOutDir: true,
        target: 'node20',
        minify: false,
        rolldownOptions: { output: { entryFileNames: 'main.mjs', chunkFileNames: '[name]-[hash].mjs' } },
      },
    });
    writeFileSync(stamp, want);
  }
  return pathToFileURL(file).href;
}
