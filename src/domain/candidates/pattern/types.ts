/** How trees of one species stand to one another: shapes of the answers. Metres in a plane unless a name says otherwise. */
import type { Place } from '../../base/geo.ts';

/** By index. */
export const PATTERN_VERDICTS = ['regular', 'random', 'clustered', 'too few'] as const;
export type PatternVerdict = (typeof PATTERN_VERDICTS)[number];

/** Fewer trees than this tell nothing. */
export const LEAST_TREES = 7;

/** Ground within which trees could have stood. */
export interface PlaneWindow {
  /** Polygons with holes, as GeoJSON has them, in the plane. */
  readonly polygons: ReadonlyArray<ReadonlyArray<ReadonlyArray<readonly [number, number]>>>;
  /** Square metres, metres. */
  readonly area: number;
  readonly perimeter: number;
}

/** Mean nearest distance against that of random places (Clark & Evans 1954). */
export interface NearestIndex {
  readonly expected: number;
  /** 1 random; under 1 clustered; 2 square lattice; 2.149 triangular lattice. */
  readonly R: number;
  readonly z: number;
  /** Two-sided. */
  readonly p: number;
}

/**
 * Directions to the two nearest neighbours: rows (2), square grids (4), triangular ones (6). The directions of trees in one
 * line are the line's, whoever set it; of them `p` tells instead how even their gaps are (see pattern.ts).
 */
export interface RowTest {
  /** The order that stands out most. */
  readonly order: 2 | 4 | 6;
  /** |mean exp(i order t)| of that order, 0-1. */
  readonly strength: number;
  /** Strengths of orders 2, 4, 6. */
  readonly strengths: readonly [number, number, number];
  /** Of the test as a whole: the choice among three orders is allowed for. */
  readonly p: number;
}

export interface Pattern {
  readonly n: number;
  /** Trees a square metre. */
  readonly density: number;
  readonly meanNearest: number;
  /** Without correction of edges. */
  readonly plain: NearestIndex;
  /** Donnelly 1978. */
  readonly donnelly: NearestIndex;
  /** Rank of the mean nearest distance among simulations in the same window, two-sided (Besag & Diggle 1977). */
  readonly simulatedP: number;
  readonly simulations: number;
  /** null with too few trees. */
  readonly rows: RowTest | null;
  readonly verdict: PatternVerdict;
  /** Ground within which the trees are compared with chance, in the plane of the trees. */
  readonly window: PlaneWindow;
  /** It was given; or it was drawn about the trees: their convex hull spread outward, or a band along their line. */
  readonly windowFrom: 'given' | 'hull' | 'line';
}

/** Same-species trees that are looked at together. */
export interface Group {
  readonly rows: Int32Array;
  /** Name of the stand that holds them, '' where they were found by their distances. */
  readonly stand: string;
  /** Row of the stand whose outline holds them, -1 none. */
  readonly outline: number;
}

/** Columns over all candidates (see Measures). */
export interface StructureColumns {
  readonly group: Int32Array;
  readonly pattern: Int8Array;
  readonly diameterSpread: Float64Array;
}

/** The group of one candidate, for drawing. */
export interface PatternView extends Pattern {
  readonly stand: string;
  /** Metres that linked the group; NaN where it is a stand. */
  readonly link: number;
  /** Whether the window is the stand's own outline, or was drawn about the trees. */
  readonly windowKnown: boolean;
  readonly trees: Int32Array;
  /** Metres east and north of the middle of the group; same order as `trees`. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** The window on the map. */
  readonly outline: ReadonlyArray<ReadonlyArray<readonly Place[]>>;
  /** Index in `trees` of the two nearest neighbours of each tree, 2 a tree. */
  readonly neighbours: Int32Array;
  /** Directions to them over 180°, folded, in equal bars from east counter-clockwise: the rose. */
  readonly rose: readonly number[];
  /** Nearest distances in bars of equal width from 0: trees, and over the simulations the mean and the middle 95 %. */
  readonly histogram: {
    readonly width: number;
    readonly trees: readonly number[];
    readonly mean: readonly number[];
    readonly low: readonly number[];
    readonly high: readonly number[];
  };
  /** Diameters, cm: how many are known, their mean and coefficient of variation. */
  readonly diameters: { readonly known: number; readonly mean: number; readonly spread: number };
}
