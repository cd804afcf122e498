/**
 * The one table of long work: job -> input, output. Both sides of the worker are checked against it.
 * Every job reports progress as (done, total, what) and may be cancelled; expected trouble is a Failure, not an exception.
 */
import type { Box, MultiPolygon, Place } from '../domain/base/geo.ts';
import type { Failure, Note } from '../domain/base/result.ts';
import type { Candidates } from '../domain/candidates/candidates.ts';
import type { PatternView } from '../domain/candidates/pattern/types.ts';
import type { Preview } from '../domain/candidates/table/mapping.ts';
import type { UnsettledName } from '../domain/candidates/table/speciesColumn.ts';
import type {
  HeldBack,
  ParentProblem,
  ParentSet,
  Relaxation,
  Reserves,
  WhyNot,
} from '../domain/parents/types.ts';
import type { Fingerprint } from '../domain/plan/relink.ts';
import type { BasemapTiles } from '../domain/plan/basemap.ts';
import type { LayerEntry, OriginWeights, Plan, Planting } from '../domain/plan/schema.ts';
import type { SurfaceAbout } from '../domain/plan/surfaceAbout.ts';
import type { ScoutingInputs } from '../domain/scouting/inputs.ts';
import type { ScoutingDay } from '../domain/scouting/types.ts';
import type { SiteReading, SpreadView, SurfaceSpec, ZoneMatch } from '../domain/vetting/match/types.ts';
import type { EvidenceMark } from '../domain/vetting/origin/marks.ts';
import type { NoRefit, OriginColumns, Outcome, Refit } from '../domain/vetting/origin/types.ts';
import type { Vetting } from '../domain/vetting/vetting.ts';
import type { Content, Offer, Opened, Part } from '../io/read/types.ts';

/** Where the bytes of a layer are: a file's content kept by the page, or an address. */
export type Bytes =
  | {
      readonly kind: 'blob';
      readonly name: string;
      readonly blob: Blob;
      /** Files brought along that belong to it ("zones.dbf", "zones.prj" with "zones.shp"). */
      readonly beside?: ReadonlyArray<{ readonly name: string; readonly blob: Blob }>;
    }
  | { readonly kind: 'url'; readonly name: string; readonly url: string };

/** The first rows of a file as text, while its columns are chosen. */
export interface Sample {
  readonly columns: readonly string[];
  readonly rows: ReadonlyArray<readonly string[]>;
  /** Number of each row as the user counts it in the file. */
  readonly lines: readonly number[];
  /** Where the rows have a place of their own (points): lon, lat of each. */
  readonly places: ReadonlyArray<readonly [number, number]> | null;
}

/** What may be chosen of a file and in it, before and after it has become a layer. */
export interface FileFacts {
  readonly kind: Content['kind'];
  /** Attribute or column names; band descriptions for a raster. */
  readonly fields: readonly string[];
  /** The things in the file, where it holds more than one, and the one that was read ('' = there is one). */
  readonly parts: readonly Part[];
  readonly part: string;
  readonly offers: readonly Offer[];
  readonly classes: NonNullable<Opened['classes']>;
  readonly sample: Sample | null;
}

/** What a band holds (jobs/handlers/figures.ts). */
export interface RasterFigures {
  /** 2nd and 98th percentile. */
  readonly low: number;
  readonly high: number;
  readonly least: number;
  readonly most: number;
  /** Cells looked at that have a value; share of those that have none; whether every cell was looked at. */
  readonly cells: number;
  readonly missing: number;
  readonly whole: boolean;
  /** Cells in bars of equal width from least to most; null for classes. */
  readonly bars: readonly number[] | null;
  readonly classes: ReadonlyArray<{ readonly value: number; readonly share: number }> | null;
}

/** What the screen needs to know of an opened layer; the data itself stays in the worker. */
export interface LayerView {
  readonly id: string;
  readonly file: string;
  readonly format: string;
  readonly crs: string | null;
  readonly extent: Box | null;
  /** Features, rows or bands. */
  readonly count: number;
  readonly notes: readonly Note[];
  /** Vector layers: GeoJSON text for the map (its own worker reads it). Zones carry key, name, index. */
  readonly geojson: Blob | null;
  readonly raster: {
    readonly width: number;
    readonly height: number;
    readonly cellMetres: number;
    readonly low: number;
    readonly high: number;
    readonly figures: RasterFigures | null;
  } | null;
  readonly facts: FileFacts;
}

/** What a dropped file holds and which definition fits, before it becomes a layer. */
export interface Inspection extends FileFacts {
  readonly file: string;
  readonly format: string;
  readonly crs: string | null;
  readonly extent: Box | null;
  readonly count: number;
  readonly notes: readonly Note[];
  /** Ids of definitions that could fit, best guess first; the user chooses. */
  readonly definitions: readonly string[];
  /** The one that name and fields speak for; '' where the user has to say. */
  readonly definition: string;
  /** Years that the file's name tells of, "1991-2020"; '' none. */
  readonly period: string;
  /** Of the band that was asked for; null for vectors and for a band without values. */
  readonly figures: RasterFigures | null;
}

/** A coordinate system that would fit a file that does not say its own. */
export interface SystemGuess {
  /** As it is given to the reader: "EPSG:32616". */
  readonly crs: string;
  readonly title: string;
  /** Where the file would lie (WGS 84 degrees). */
  readonly extent: Box;
  readonly why: string;
}

/** How a table would be read as a whole. */
export interface TableSurvey {
  readonly rows: number;
  /** Rows with a usable position, and where they lie. */
  readonly usable: number;
  readonly extent: Box | null;
  readonly notes: readonly Note[];
  readonly offers: readonly Offer[];
  readonly unsettled: readonly UnsettledName[];
}

/** What the user chose for a table. */
export type TableChoices = Pick<LayerEntry, 'columns' | 'names' | 'mend' | 'crs'>;

/** How a file is read: what the user chose of it and in it. */
export type Reading = Pick<LayerEntry, 'crs' | 'part' | 'mend'> & { readonly band?: number };

/** A basemap as it was opened. */
export interface BasemapView extends BasemapTiles {
  readonly attribution: string;
}

/** Which zones touch, for the table on screen. */
export interface ZoneContacts {
  /** Id of the zones layer that is used: the first in the plan that is open. */
  readonly layer: string;
  /** All its zones, in the file's order, and where they lie. */
  readonly zones: ReadonlyArray<{ readonly key: string; readonly name: string; readonly box: Box }>;
  /**
   * In order of the zones. A pair that neither touches as drawn nor was set by hand is not among them: it is "none".
   * `a` and `b` are keys, as `contacts` of the layer's entry names them (there in either order).
   */
  readonly pairs: ReadonlyArray<{
    readonly a: string;
    readonly b: string;
    readonly names: readonly [string, string];
    /** What counts in the rule on zones. */
    readonly contact: 'edge' | 'corner' | 'none';
    /** What the shapes say; the same as `contact` unless set by hand. Taking a pair out of `contacts` brings it back. */
    readonly drawn: 'edge' | 'corner' | 'none';
    /** Length of the common line as drawn, metres; 0 for a corner or none. */
    readonly sharedMetres: number;
    readonly byHand: boolean;
  }>;
  /** Contacts in the entry that say nothing: a key that no zone has (any more), or a zone with itself. */
  readonly stray: ReadonlyArray<{
    readonly a: string;
    readonly b: string;
    readonly contact: 'edge' | 'corner' | 'none';
  }>;
  /** Metres: gaps and overlaps up to it count as shared. */
  readonly snap: number;
}

export interface ChoiceOutput {
  readonly set: ParentSet;
  readonly reserves: Reserves;
  /** Only where K cannot be had. */
  readonly heldBack: readonly HeldBack[];
}

export interface SiteOutline {
  /** Text of each of `fields`. */
  readonly texts: readonly string[];
  /** null: the file holds places. */
  readonly area: MultiPolygon | null;
  /** The place, or one inside the area that stands for it. */
  readonly place: Place;
  /** 0 for a place. */
  readonly squareMetres: number;
}

/** Areas or places of a file that may become sites. */
export interface SiteOutlines {
  readonly file: string;
  readonly kind: 'polygon' | 'line' | 'point';
  readonly crs: string | null;
  /** In the file's order; of more than can be chosen among, the nearest to where the work is, nearest first. */
  readonly outlines: readonly SiteOutline[];
  /** Areas or places in the file that could be sites. */
  readonly count: number;
  readonly fields: readonly string[];
  /** Index of the field that names them, as guessed; -1 none. */
  readonly named: number;
  readonly parts: readonly Part[];
  readonly part: string;
  readonly offers: readonly Offer[];
  readonly extent: Box | null;
  readonly notes: readonly Note[];
}

export interface PointColumns {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Index into STANDINGS; 3 = other species than the planting's; 4 = not drawn. */
  readonly standing: Uint8Array;
}

export interface Jobs {
  inspect: { input: { bytes: Bytes; reading: Reading }; output: Inspection };
  /** First rows as they are understood; fails only inside its answer. */
  preview: { input: { sample: Sample; file: string; entry: TableChoices }; output: Preview };
  /** All rows of a table, or points, as they would be understood. */
  survey: { input: { bytes: Bytes; reading: Reading; entry: TableChoices }; output: TableSurvey };
  /** Coordinate systems that fit a box of coordinates, likeliest first; `near`: where the work is. */
  systems: {
    input: { coordinates: Box; near: Box | null };
    output: readonly SystemGuess[];
  };
  /** By what a file is known again when it is not in the workspace. */
  fingerprint: { input: { bytes: Bytes }; output: Fingerprint };
  /** `bytes`: null for a layer that is computed from another (`from`), which has to be open. */
  open: { input: { entry: LayerEntry; bytes: Bytes | null }; output: LayerView };
  close: { input: { id: string }; output: null };
  /** Columns of all open candidate layers together, as the files have them; edits are laid on by who asks. */
  candidates: { input: null; output: { candidates: Candidates; notes: readonly Note[] } };
  vet: { input: { plan: Plan; plantingId: string; key: string }; output: Vetting };
  /**
   * Pairs of zones of the open zones layer, with what the user set by hand. `layers` are the plan's (their contacts count as
   * they stand there now, so an edit needs no reopening), `snap` the rule's (`planting.rules.zone.snap`). A Failure of code
   * 'content' where no zones are open.
   */
  contacts: { input: { layers: readonly LayerEntry[]; snap: number }; output: ZoneContacts };
  /** The spread of a planting's variables: needs no candidates. */
  spread: { input: { plan: Plan; plantingId: string }; output: SpreadView };
  /** What the sites of a planting have, in its order: asked of the worker that draws tiles, which is never long at work. */
  atSites: { input: { layers: readonly LayerEntry[]; planting: Planting }; output: readonly SiteReading[] };
  /** One tile of the match surface, 256 x 256; cells that match by less than `least` are left clear. null: nothing there. */
  surfaceTile: {
    input: {
      spec: SurfaceSpec;
      scheme: 'light' | 'dark';
      least: number;
      z: number;
      x: number;
      y: number;
    };
    output: ImageBitmap | null;
  };
  /** The match of every cell of the finest of the variables' grids, as a GeoTIFF. */
  surface: { input: { spec: SurfaceSpec; about: SurfaceAbout }; output: Blob };
  /** The match surface summed up by zone. A Failure of code 'content' where no zones are open. */
  rankZones: { input: { spec: SurfaceSpec; sites: readonly Place[] }; output: ZoneMatch };
  /** Areas or places of a file, of which the user chooses those that become sites. */
  siteOutlines: { input: { bytes: Bytes; reading: Reading; near: Place | null }; output: SiteOutlines };
  /** What the evidence on one candidate was read from, for the map. */
  drawEvidence: { input: { plan: Plan; candidate: string }; output: readonly EvidenceMark[] };
  /** How the trees of its species stand about a candidate; null where it belongs to no group. */
  pattern: { input: { plan: Plan; candidate: string }; output: PatternView | null };
  /** Weights fitted anew on settled outcomes; `columns` hold the rows of the outcomes alone. */
  refit: {
    input: {
      columns: OriginColumns;
      table: OriginWeights;
      outcomes: readonly Outcome[];
      version: string;
    };
    output: Refit | NoRefit;
  };
  choose: { input: { problem: ParentProblem; relaxations: readonly Relaxation[] }; output: ChoiceOutput };
  whyNot: { input: { problem: ParentProblem; set: ParentSet; row: number }; output: WhyNot };
  route: { input: ScoutingInputs; output: ScoutingDay };
  /** GeoJSON text of candidate points for the map, feature id = row. */
  points: { input: PointColumns; output: Blob };
  /** The basemap from a file of tiles. */
  openBasemap: { input: { bytes: Bytes }; output: BasemapView };
  basemapTile: { input: { z: number; x: number; y: number }; output: ArrayBuffer | null };
  /** One picture of a raster layer for the map, 256 x 256; null where the raster has nothing there. */
  tile: {
    input: {
      layer: string;
      style: 'relief' | 'values';
      scheme: 'light' | 'dark';
      z: number;
      x: number;
      y: number;
    };
    output: ImageBitmap | null;
  };
}

export type JobName = keyof Jobs;

export type ToWorker =
  | { readonly kind: 'run'; readonly id: number; readonly job: JobName; readonly input: unknown }
  | { readonly kind: 'cancel'; readonly id: number };

export type FromWorker =
  | {
      readonly kind: 'progress';
      readonly id: number;
      readonly done: number;
      readonly total: number;
      readonly what: string;
    }
  | { readonly kind: 'done'; readonly id: number; readonly output: unknown }
  | { readonly kind: 'failed'; readonly id: number; readonly failure: Failure }
  | { readonly kind: 'crashed'; readonly id: number; readonly message: string };
