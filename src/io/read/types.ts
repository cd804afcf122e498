/** What a reader gives. One file a format in this folder; `formats.ts` is the ordered list of them. */
import type { Area, Box, Spot, Track } from '../../domain/base/geo.ts';
import type { Mend, Offer } from '../../domain/base/mend.ts';
import type { Note, Result } from '../../domain/base/result.ts';
import type { Table } from '../../domain/base/table.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Source } from '../source.ts';
import type { Raster } from './rasters/raster.ts';

export type Content =
  | { readonly kind: 'raster'; readonly raster: Raster }
  | { readonly kind: 'polygon'; readonly features: readonly Area[] }
  | { readonly kind: 'line'; readonly features: readonly Track[] }
  | { readonly kind: 'point'; readonly features: readonly Spot[] }
  | { readonly kind: 'table'; readonly table: Table };

export type { Mend, Offer };

/** One of several things in a file: a table of a GeoPackage, a sheet of a workbook, a variable of a NetCDF, a layer of a zip. */
export interface Part {
  readonly name: string;
  readonly kind: Content['kind'];
  /** Features, rows or bands; null where telling it would mean reading all. */
  readonly count: number | null;
}

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
  /** What the file holds, where it holds more than one thing; the one that was read is `part`. */
  readonly parts?: readonly Part[];
  readonly part?: string;
  readonly offers?: readonly Offer[];
  /** Names of classes by value (raster attribute table, category names, colour table), where the file gives them. */
  readonly classes?: ReadonlyArray<{
    readonly value: number;
    readonly name: string;
    readonly colour: string | null;
  }>;
}

export interface ReadOptions {
  /** Coordinate system to use instead of the file's. */
  readonly crs?: string;
  /** Only features that touch this WGS 84 box, where the format can tell without reading all. */
  readonly within?: Box;
  /** Which of the things in the file; absent: the first that has content. */
  readonly part?: string;
  readonly mend?: readonly Mend[];
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
