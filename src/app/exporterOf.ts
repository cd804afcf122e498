import type { Exporter } from '../state/exporter.ts';
import type { Kinstand } from '../state/kinstand.svelte.ts';

const NAMES = [
  'candidatesCsv',
  'vettingCsv',
  'vettingGeojson',
  'parentSetJson',
  'routeGpx',
  'routeGeojson',
  'routeCsv',
  'workspaceFile',
  'originWeights',
] as const satisfies ReadonlyArray<keyof Exporter>;

/** The exporter, whose writers come with the first file that is asked for. */
export function exporterOf(k: Kinstand): Exporter {
  const made: [keyof Exporter, Exporter[keyof Exporter]][] = NAMES.map((name) => [
    name,
    async () => (await import('./exporter.ts')).createExporter(k)[name](),
  ]);
  return Object.fromEntries(made) as Record<keyof Exporter, Exporter[keyof Exporter]>;
}
