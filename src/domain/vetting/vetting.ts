/**
 * The shape of a vetting: columns of measures and answers, one row a candidate, for one planting.
 * Made by jobs/handlers/vet.ts (the worker and the CLI call the same function); read by the ledger, the map and
 * the vetting sheet. NaN means "not known" everywhere.
 */
import type { Place } from '../base/geo.ts';
import type { MatchColumns, SiteReading, Spread } from './match/types.ts';
import type { EvidenceSettings, OriginWeights } from '../plan/schema.ts';
import type { OriginColumns } from './origin/types.ts';
import type { FindingColumns } from './rules/types.ts';
import type { ZoneAdjacency } from '../layers/zones.ts';

/** Standing, by index. */
export const STANDINGS = ['eligible', 'needs a check', 'ruled out'] as const;
export type Standing = (typeof STANDINGS)[number];

/** What was measured at every candidate from the user's layers; NaN or -1 where a layer is missing or has no value. */
export interface Measures {
  /** Elevation, m. */
  readonly elevation: Float64Array;
  /** Slope at the candidate, degrees (Horn 1981). */
  readonly slope: Float64Array;
  /** Index into the zones list, -1 outside all zones or no zones loaded. */
  readonly zone: Int32Array;
  /** Land-cover value at the candidate, as the raster has it. */
  readonly cover: Float64Array;
  /** What that value counts as: index into GROUNDS, -1 nothing. */
  readonly ground: Int8Array;
  /** Share of developed land within 100 m and within 500 m, 0-1. */
  readonly developed100: Float64Array;
  readonly developed500: Float64Array;
  /** Share of forest classes within 100 m, 0-1 (closed forest, edge or opening is read from it). */
  readonly forest100: Float64Array;
  /** Metres to the nearest building, and buildings whose outline comes within 100 m. */
  readonly building: Float64Array;
  readonly buildings100: Float64Array;
  /** Year since which the nearest building within 30 m stands, as its layer says. */
  readonly buildingYear: Float64Array;
  /** Metres to the nearest road line (any class), to the edge of that road (0 on it), and to the nearest drivable line. */
  readonly road: Float64Array;
  readonly roadEdge: Float64Array;
  readonly drivable: Float64Array;
  /** Trees of the same species in a line parallel to the nearest road that this tree belongs to (0 = none). */
  readonly roadRow: Float64Array;
  /** Metres to the nearest entry of a street- or park-tree inventory. */
  readonly inventory: Float64Array;
  /** Entries of an inventory that say that this very tree was planted: row -> sentence that names list, entry and distance. */
  readonly plantedOnRecord: ReadonlyMap<number, string>;
  /** Index into `settingNames`, -1 none; and the year since which that area is what it is, as its layer says. */
  readonly setting: Int16Array;
  readonly settingYear: Float64Array;
  /** Year in which the ground at the candidate was first developed, from a layer of such years. */
  readonly developedYear: Float64Array;
  /** Metres outside the species' native range (0 inside). */
  readonly range: Float64Array;
  /** Other oaks of the same section within the hybrid radius, and their share of all oaks of the section there. */
  readonly kin: Float64Array;
  readonly kinShare: Float64Array;
  /** Level of the hybrid risk: index into KIN_LEVELS (domain/candidates/kinLevel.ts). */
  readonly kinLevel: Float64Array;
  /** Years from diameter (domain/candidates/age.ts), and the calendar year in which the diameter was measured. */
  readonly age: Float64Array;
  readonly measuredYear: Float64Array;
  /** Group of same-species trees that the candidate stands in (domain/candidates/pattern): its number, -1 none. */
  readonly group: Int32Array;
  /** How the trees of that group stand: index into PATTERN_VERDICTS; -1 not known. */
  readonly pattern: Int8Array;
  /** Coefficient of variation of the diameters in the group. */
  readonly diameterSpread: Float64Array;
  /**
   * Geodesic km from the site, and bearing from the candidate to the site, degrees clockwise from north. Of several sites the
   * farthest one counts, here and in `northward`.
   */
  readonly distance: Float64Array;
  readonly bearing: Float64Array;
  /** northward component of the move candidate -> site, km (negative: southward). */
  readonly northward: Float64Array;
}

/** What a measure was read from: layer title, its source and date, for every piece that has one. */
export interface Provenance {
  readonly layer: string;
  readonly source: string;
  readonly date: string;
}

export interface Vetting {
  /** Key of the inputs; a vetting with another key than the present inputs is out of date. */
  readonly key: string;
  readonly plantingId: string;
  readonly n: number;
  readonly measures: Measures;
  readonly provenance: Readonly<Partial<Record<keyof Measures, Provenance>>>;
  /** The sites of the planting in its order; there is at least one. */
  readonly sites: readonly SiteValues[];
  readonly zones: ZoneSummary;
  readonly settingNames: readonly string[];
  /** Settings that the evidence was measured with, and the table that it was judged by. */
  readonly evidence: EvidenceSettings;
  readonly weights: OriginWeights;
  /** null where no variable could be read: match is then unknown for all. */
  readonly match: MatchColumns | null;
  readonly spread: Spread | null;
  readonly origin: OriginColumns;
  readonly findings: FindingColumns;
  /** Index into STANDINGS; an override is already in it. */
  readonly standing: Uint8Array;
  /** 1 where the standing comes from an override with a reason. */
  readonly overridden: Uint8Array;
  /** Weight for the choice of parents, 0-1; NaN when not eligible. */
  readonly weight: Float64Array;
  /** Trouble that left a measure unknown (a layer missing, a variable unpaired ...). */
  readonly notes: readonly string[];
}

export interface SiteValues extends Place {
  /** As the screens call it (domain/plan/sites.ts): never ''. */
  readonly name: string;
  /** m: of an area the mean over its cells. */
  readonly elevation: number;
  /** Its lowest and highest cell, of an area. */
  readonly elevationRange?: readonly [number, number];
  /** Of the point that stands for it; -1 none. */
  readonly zone: number;
  /** null where no variable could be read. */
  readonly reading: SiteReading | null;
}

export interface ZoneSummary {
  readonly keys: readonly string[];
  readonly names: readonly string[];
  readonly adjacency: ZoneAdjacency | null;
}
