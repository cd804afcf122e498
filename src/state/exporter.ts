import type { Result } from '../domain/base/result.ts';

export interface ExportedFile {
  readonly name: string;
  readonly blob: Blob;
}

type Export = () => Promise<Result<ExportedFile>>;

/** Files that the screens offer; made by app/exporter.ts, which knows the writers. */
export interface Exporter {
  /** The candidates with all that was done by hand. */
  readonly candidatesCsv: Export;
  readonly vettingCsv: Export;
  readonly vettingGeojson: Export;
  readonly parentSetJson: Export;
  readonly routeGpx: Export;
  readonly routeGeojson: Export;
  readonly routeCsv: Export;
  /** The match of every cell as a GeoTIFF; `kinstand.surfaceFile` tells how far it is. */
  readonly surfaceGeotiff: Export;
  /** The ranking of zones as it is on screen, at its threshold. */
  readonly zonesCsv: Export;
  readonly zonesGeojson: Export;
  readonly workspaceFile: Export;
  readonly originWeights: Export;
}
