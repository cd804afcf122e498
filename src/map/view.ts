/** What the map shows, as plain data, and what it says back. The map keeps nothing that is not derived from this. */
import type { Box, MultiPolygon, Place } from '../domain/base/geo.ts';
import type { Failure } from '../domain/base/result.ts';
import type { LayerDefinition } from '../domain/layers/definition.ts';
import type { EvidenceMark } from '../domain/vetting/origin/marks.ts';
import type { BasemapTiles } from '../domain/plan/basemap.ts';

export type Scheme = 'light' | 'dark';

export interface MapView {
  readonly scheme: Scheme;
  readonly units: 'metric' | 'us';
  /** What the user wants beneath all; null: the outlines that come with the app. */
  readonly basemap: BasemapTiles | null;
  /** Raster layers to draw, bottom first. `revision` changes when the file behind it does. */
  readonly rasters: ReadonlyArray<{
    readonly id: string;
    readonly style: 'relief' | 'values';
    readonly opacity: number;
    readonly revision: string;
    /** Where it has values: no tile is asked for outside. */
    readonly extent: Box;
  }>;
  /** Match of every cell over the rasters, under all lines: another key, another picture. Cells under `least` are clear. */
  readonly surface: {
    readonly key: string;
    readonly least: number;
    readonly opacity: number;
    readonly extent: Box;
  } | null;
  /** Zones shaded by the share of their area that matches; `shares` by index into the zones layer, -1 not known. */
  readonly zoneShades: {
    readonly geojson: Blob;
    readonly shares: readonly number[];
    /** false: no shading, only labels and the outline of the chosen one. */
    readonly wash: boolean;
    /** At the best place of a zone. */
    readonly labels: ReadonlyArray<Place & { readonly text: string }>;
    /** Index of the zone that is outlined. */
    readonly chosen: number | null;
  } | null;
  /** Vector context layers to draw, bottom first; zones among them (their features carry key, name, index). */
  readonly vectors: ReadonlyArray<{
    readonly id: string;
    readonly definition: LayerDefinition;
    readonly geojson: Blob;
    readonly opacity: number;
    /** Place in the user's own order, bottom first; absent: by what it is. */
    readonly level?: number;
  }>;
  /** Places that a question on screen is about. */
  readonly outlines: ReadonlyArray<{ readonly box: Box; readonly title: string; readonly chosen: boolean }>;
  /** Indices in the zones layer of the zones that the sites lie in. */
  readonly homeZones: readonly number[];
  /** In the planting's order; `area` where the site is one, with the place inside it that stands for it. */
  readonly sites: ReadonlyArray<
    Place & { readonly title: string; readonly area: MultiPolygon | null; readonly first: boolean }
  >;
  /** An outline that is being drawn: its corners so far, and where the pointer is. Clicks set corners. */
  readonly drawing: { readonly corners: readonly Place[]; readonly aim: Place | null } | null;
  /** Candidate points as GeoJSON text: feature id = row, properties { s: standing 0-3 }. */
  readonly points: Blob | null;
  /** Draw ruled-out candidates and other species. */
  readonly showRuledOut: boolean;
  readonly members: ReadonlyArray<
    Place & { readonly row: number; readonly label: string; readonly overridden: boolean }
  >;
  readonly reserves: ReadonlyArray<Place & { readonly row: number; readonly label: string }>;
  /** Metres between members: discs of half of it are drawn. */
  readonly spacing: number;
  readonly route: { readonly line: readonly Place[]; readonly start: Place; readonly end: Place } | null;
  readonly selected: (Place & { readonly row: number; readonly text?: string }) | null;
  readonly hovered: (Place & { readonly row: number; readonly text: string }) | null;
  /** What the evidence on the chosen candidate was read from; `lit`: the piece that is pointed at. null: no sheet is open. */
  readonly evidence: {
    readonly key: string;
    readonly marks: readonly EvidenceMark[];
    readonly lit: string | null;
  } | null;
  /** Outlines of stands as GeoJSON text; null where there are none. */
  readonly stands: Blob | null;
  /** Outline of the chosen stand. */
  readonly stand: MultiPolygon | null;
  /** Photos of the chosen candidate, at their own places; degrees clockwise from north, null not recorded. */
  readonly photos: ReadonlyArray<Place & { readonly direction: number | null }>;
  /** A candidate that is being set down or moved: where it stands in the plan, and where it shall. Its mark can be dragged. */
  readonly draft: { readonly from: Place | null; readonly place: Place } | null;
  /** Next click sets a place (crosshair). */
  readonly picking: boolean;
}

export interface MapEvents {
  select(row: number | null): void;
  hover(row: number | null): void;
  pick(place: Place): void;
  /** While an outline is drawn: a corner is set, the pointer is elsewhere (null: off the map), the outline is closed. */
  corner(place: Place): void;
  aim(place: Place | null): void;
  closeOutline(): void;
  /** The mark of the draft is dragged. */
  drag(place: Place): void;
  ready(): void;
  failed(failure: Failure): void;
  /** Tiles of the basemap do not come, and why. */
  basemapTrouble(why: string): void;
}

export interface MapHandle {
  update(view: MapView): void;
  /** Fits the box into the part of the map that is not covered: `covered` pixels from the foot are. `close`: the box is of one tree. */
  show(box: Box, animate: boolean, covered: number, close?: boolean): void;
  /** Moves to a place only if it is out of sight: beyond the rim, or under what covers the foot (`covered` pixels). */
  reveal(place: Place, covered: number): void;
  destroy(): void;
}

/** One tile of a basemap that comes from a file. */
export type BasemapTileMaker = (z: number, x: number, y: number) => Promise<ArrayBuffer | null>;

/** Pictures of the match surface, made elsewhere; null where it has nothing, or where the key is no longer the present one. */
export type SurfaceTileMaker = (
  tile: {
    readonly key: string;
    readonly least: number;
    readonly scheme: Scheme;
    readonly z: number;
    readonly x: number;
    readonly y: number;
  },
  signal: AbortSignal,
) => Promise<ImageBitmap | null>;

/** Pictures of raster layers, made elsewhere. */
export type TileMaker = (
  layer: string,
  style: 'relief' | 'values',
  scheme: Scheme,
  z: number,
  x: number,
  y: number,
  signal: AbortSignal,
) => Promise<ImageBitmap | null>;
