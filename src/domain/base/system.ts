/** A coordinate system as the reading of tables needs it (io makes them): projected or geographic coordinates to WGS 84 degrees. */
export interface System {
  /** "EPSG:32616", or the name that the file gives. */
  readonly name: string;
  /** Its coordinates are degrees. */
  readonly geographic: boolean;
  /** What the user should know of the way to WGS 84 (a datum shift and its accuracy), as the end of a sentence; null for nothing. */
  readonly note?: string | null;
  /** x, y to lon, lat (degrees); new arrays. What has no place is not a finite number. */
  inverse(x: Float64Array, y: Float64Array): { readonly lon: Float64Array; readonly lat: Float64Array };
}
