import type { Exporter } from '../state/exporter.ts';
import type { Kinstand } from '../state/kinstand.svelte.ts';

/** The exporter, whose writers come with the first file that is asked for. */
export function exporterOf(k: Kinstand): Exporter {
  const later = (name: keyof Exporter): Exporter[keyof Exporter] => {
    return async () => (await import('./exporter.ts')).createExporter(k)[name]();
  };
  return {
    candidatesCsv: later('candidatesCsv'),
    vettingCsv: later('vettingCsv'),
    vettingGeojson: later('vettingGeojson'),
    parentSetJson: later('parentSetJson'),
    routeGpx: later('routeGpx'),
    routeGeojson: later('routeGeojson'),
    routeCsv: later('routeCsv'),
    surfaceGeotiff: later('surfaceGeotiff'),
    zonesCsv: later('zonesCsv'),
    zonesGeojson: later('zonesGeojson'),
    workspaceFile: later('workspaceFile'),
    originWeights: later('originWeights'),
  };
}
