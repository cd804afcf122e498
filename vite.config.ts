import { svelte } from '@sveltejs/vite-plugin-svelte';
import { cpSync } from 'node:fs';
import type { Plugin } from 'vite';
import { defineConfig } from 'vitest/config';

/** The demo workspace travels with the built app, without the script that made it and what its answers are held against. */
const demoWorkspace: Plugin = {
  name: 'demo-workspace',
  apply: 'build',
  writeBundle(options) {
    cpSync('demo-data', `${options.dir ?? 'dist'}/demo-data`, {
      recursive: true,
      filter: (file) => !/(\.ts|[\\/]lib|[\\/](truth|traps)\.json)$/.test(file),
    });
  },
};

/** The SQLite library asks for files and random numbers of Node only where it runs in Node; the browser's build has neither. */
const withoutNode: Plugin = {
  name: 'without-node',
  apply: 'build',
  enforce: 'pre',
  resolveId: (id, importer) =>
    /^node:(fs|crypto)$/.test(id) && /[\\/]sql\.js[\\/]/.test(importer ?? '') ? '\0nothing' : null,
  load: (id) => (id === '\0nothing' ? 'export default {}' : null),
};

// Vite also reads the `test` part: one file says how the app is built and how it is tested.
export default defineConfig({
  base: './',
  plugins: [svelte({ compilerOptions: { runes: true } }), demoWorkspace],
  build: {
    target: 'es2022',
    chunkSizeWarningLimit: 1200,
    rolldownOptions: {
      checks: { pluginTimings: false },
      output: {
        codeSplitting: {
          groups: [{ name: 'maplibre', test: /node_modules[\\/](maplibre-gl|@maplibre)[\\/]/ }],
        },
      },
    },
  },
  worker: { format: 'es', plugins: () => [withoutNode] },
  server: { port: 5173, host: '127.0.0.1' },
  preview: { port: 4173, strictPort: false, host: '127.0.0.1' },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          environment: 'node',
          maxWorkers: '100%',
          include: ['tests/{domain,io,jobs,cli,layers,map,hostile,demo,app}/**/*.test.ts'],
          testTimeout: 60_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'reference',
          environment: 'node',
          maxWorkers: '100%',
          include: ['tests/reference/**/*.test.ts'],
          testTimeout: 120_000,
        },
      },
      {
        extends: true,
        resolve: { conditions: ['browser'] },
        test: {
          name: 'state',
          environment: 'happy-dom',
          maxWorkers: '100%',
          include: ['tests/{state,ui}/**/*.test.ts'],
        },
      },
      {
        extends: true,
        test: {
          name: 'architecture',
          environment: 'node',
          maxWorkers: '100%',
          include: ['tests/architecture/**/*.test.ts'],
          testTimeout: 120_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          environment: 'node',
          // A loaded machine is slow, not wrong.
          expect: { poll: { timeout: 20_000, interval: 100 } },
          include: ['tests/browser/**/*.test.ts'],
          testTimeout: 120_000,
          hookTimeout: 180_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
