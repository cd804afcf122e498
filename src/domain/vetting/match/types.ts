import type { Place } from '../../base/geo.ts';
import type { Role, Transform, Unit } from '../../layers/definition.ts';
import type { LayerEntry } from '../../plan/schema.ts';

/** A variable of the match, as chosen for a planting. */
export interface Variable {
  readonly id: string;
  readonly title: string;
  readonly unit: Unit;
  readonly transform: Transform;
  readonly period: string;
  readonly words: readonly [string, string];
}

/** A variable of a planting with the layers it is read from. */
export interface ChosenVariable {
  readonly variable: Variable;
  readonly role: Role;
  /** Read at candidates, cells and zones. */
  readonly layer: LayerEntry;
  /** Read at the sites: the same, or its twin in the period of the sites. */
  readonly siteLayer: LayerEntry;
}

/** Within-zone spread of the (transformed) variables and what it was taken from. */
export interface Spread {
  /** k x k covariance S, row-major, transformed units. */
  readonly covariance: Float64Array;
  /** Names of the variables, k. */
  readonly variables: readonly string[];
  /** Where it comes from, in words for the screen: "within 6 zones" or "within 50 km of the site (no zones loaded)". */
  readonly from: string;
  readonly basis: 'zones' | 'circle' | 'typed';
  readonly zones: number;
  readonly cells: number;
  /** Values of the reference cells (transformed), each column in rising order; empty columns where there are no cells. */
  readonly reference: readonly Float64Array[];
  /** Lowest and highest of each variable over the cells (transformed), for novelty; -Infinity and Infinity without cells. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Components kept: the k of the chi-square. */
  readonly kept: number;
  /** Variables that are nearly the same, in words; empty when all components were kept. */
  readonly nearlySame: readonly string[];
}

export interface MatchColumns {
  readonly variables: readonly Variable[];
  /** Role of each variable: climate, terrain or soil. */
  readonly roles: readonly Role[];
  /** Years from which each variable is read at the sites; the variable's own period where it is not another one. */
  readonly sitePeriods: readonly string[];
  /** Degrees of freedom: components kept. */
  readonly k: number;
  /** Match with each site of the planting, a column a site. */
  readonly bySite: readonly Float64Array[];
  /** The site that a candidate is least like: match, d2, sigma, parts and limiting are against that one. */
  readonly site: Uint8Array;
  readonly d2: Float64Array;
  readonly match: Float64Array;
  readonly sigma: Float64Array;
  /** Lowest and highest match on the accuracy ring; equal to match where no radius is recorded. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Ring places (of 12) without a match, off the layers or in a hole; they are not in low and high. */
  readonly ringMissing?: Uint8Array;
  /** Value at the candidate in the file's unit, a column a variable. */
  readonly values: readonly Float64Array[];
  /** Part of D² of each variable, a column a variable; they sum to d2. */
  readonly parts: readonly Float64Array[];
  /** Index of the largest part, -1 unknown. */
  readonly limiting: Int8Array;
  /** Bit v set: variable v lies outside the range of the reference cells. */
  readonly novel: Uint32Array;
  /** Multivariate environmental similarity (Elith et al. 2010): the lowest over the variables; NaN without reference cells. */
  readonly mess: Float64Array;
  /** The variable that has it: the most dissimilar one; -1 unknown. */
  readonly unlike: Int8Array;
}

/** Observed and expected share of pairs of reference cells of one zone whose D² lies under a quantile of chi-square. */
export interface SpreadCheck {
  readonly pairs: number;
  readonly shares: ReadonlyArray<{ readonly expected: number; readonly observed: number }>;
  /** Far enough off to matter, and what would mend it, in words; empty where the normal assumption serves. */
  readonly advice: readonly string[];
  /** Variables (ids) whose logarithm would bring the shares nearer, best first. */
  readonly log: readonly string[];
}

/** Some of the reference cells, for a plot: values in the file's unit, a column a variable. */
export interface CellSample {
  readonly values: readonly Float64Array[];
  /** Index of the zone in the zones layer; -1 where the cells are not of zones. */
  readonly zone: Int32Array;
}

/** The spread of a planting's variables and what is told of it on screen. */
export interface SpreadView {
  readonly variables: readonly Variable[];
  readonly spread: Omit<Spread, 'reference'>;
  /** Within-zone correlation, k x k row-major. */
  readonly correlation: Float64Array;
  /** null where there are no reference cells (typed standard deviations without rasters under any zone). */
  readonly check: SpreadCheck | null;
  readonly sample: CellSample | null;
  readonly notes: readonly string[];
}

/** A site's values of the variables, in the file's unit; NaN missing. */
export interface SiteReading {
  /** In the period that is compared. */
  readonly values: readonly number[];
  /** Lowest and highest cell of an area; the value twice for a point. */
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** In the candidates' period: differs from `values` only where the site is read from another one. */
  readonly now: readonly number[];
  /** Cells whose centre lies in the area, of the variable with the fewest; 0 for a point and for an area smaller than a cell. */
  readonly cells: number;
  /** Cells of a huge area were taken in steps of so many, of the variable with the widest; absent: each was. */
  readonly step?: number;
}

/** What the match of a cell is computed with: small enough to go along with every tile. */
export interface SurfaceSpec {
  /** Another text whenever anything that the surface hangs on is another. */
  readonly key: string;
  readonly variables: ReadonlyArray<{ readonly layer: string; readonly transform: Transform }>;
  /** W, kept x k, row-major: D² = |W (x - site)|². */
  readonly whitening: Float64Array;
  readonly kept: number;
  /** W · site, a vector of `kept` numbers a site. The match of a cell is the least over the sites. */
  readonly sites: readonly Float64Array[];
}

/** The match surface summed up by zone. */
export interface ZoneMatch {
  /** Bins of the histograms: bin b holds cells with b / BINS <= match < (b + 1) / BINS; match 1 lies in the last. */
  readonly bins: number;
  readonly zones: ReadonlyArray<{
    /** Index into the zones layer. */
    readonly zone: number;
    /** km² of the zone under cells with a match, and of all of it. */
    readonly knownKm2: number;
    readonly km2: number;
    /** km² in each bin. */
    readonly histogram: Float64Array;
    /** NaN where no cell has a match. */
    readonly best: number;
    readonly bestPlace: Place | null;
    /** Nearest point of the zone to the nearest site, geodesic km; 0 where a site is in it. */
    readonly km: number;
  }>;
  /** Cells were taken in steps of so many (1 = each), of so many metres. */
  readonly step: number;
  readonly cellMetres: number;
}
