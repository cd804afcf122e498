/** What a reader gives. One file a format in this folder; `formats.ts` is the ordered list of them. */
import type { Area, Box, Spot, Track } from '../../domain/base/geo.ts';
import type { Note, Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Source } from '../source.ts';
import type { Raster } from './raster.ts';

/** A table as text: header and cells as written, without guessing types ("007" stays "007"). */
export interface Table {
  readonly columns: readonly string[];
  readonly rows: ReadonlyArray<readonly string[]>;
}

export type Content =
  | { readonly kind: 'raster'; readonly raster: Raster }
  | { readonly kind: 'polygon'; readonly features: readonly Area[] }
  | { readonly kind: 'line'; readonly features: readonly Track[] }
  | { readonly kind: 'point'; readonly features: readonly Spot[] }
  | { readonly kind: 'table'; readonly table: Table };

export interface Opened {
  readonly file: string;
  readonly format: string;
  readonly content: Content;
  /** As found in the file, "EPSG:5070" or a name; null for tables. */
  readonly crs: string | null;
  /** WGS 84 degrees; null where there is none (table without coordinates). */
  readonly extent: Box | null;
  /** Features, rows, or bands. */
  readonly count: number;
  readonly notes: readonly Note[];
}

export interface ReadOptions {
  /** Coordinate system to use instead of the file's. */
  readonly crs?: string;
  /** Only features that touch this WGS 84 box, where the format can tell without reading all. */
  readonly within?: Box;
  readonly work?: Work;
}

export interface Format {
  readonly id: string;
  /** "GeoTIFF", "FlatGeobuf" ... */
  readonly title: string;
  readonly extensions: readonly string[];
  /** True when the first bytes (up to 512) are this format's; extension is only a hint. */
  recognises(head: Uint8Array, name: string): boolean;
  read(source: Source, options: ReadOptions): Promise<Result<Opened>>;
}
