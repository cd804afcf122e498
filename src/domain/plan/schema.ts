/**
 * The plan file: the declarative inputs of a workspace. One schema gives the check, the TypeScript type and the
 * published JSON Schema (public/plan.schema.json, made by `npm run schema`, held current by a test).
 * Distances in metres unless a name says km; places in WGS 84 degrees.
 */
import * as v from 'valibot';

export const PLAN_VERSION = 1;

const id = v.pipe(v.string(), v.regex(/^[^\s/\\][^/\\]{0,79}$/, 'one to 80 characters without slashes'));
const text = v.string();
const positive = v.pipe(v.number(), v.finite(), v.gtValue(0));
const notNegative = v.pipe(v.number(), v.finite(), v.minValue(0));
const share = v.pipe(v.number(), v.minValue(0), v.maxValue(1));
const lon = v.pipe(v.number(), v.minValue(-180), v.maxValue(180));
const lat = v.pipe(v.number(), v.minValue(-90), v.maxValue(90));

export const PlaceSchema = v.strictObject({ lon, lat, name: v.optional(text, '') });

/** Polygons with holes, as GeoJSON's MultiPolygon has them: rings closed, outer ring first. */
const area = v.array(v.array(v.array(v.tuple([lon, lat]))));

/** A place to be planted: a point, or an area with a point inside it that stands for it on the map. */
export const SiteSchema = v.strictObject({ ...PlaceSchema.entries, area: v.optional(area) });

export const LayerEntrySchema = v.strictObject({
  id,
  /** Id of a definition in /layers. */
  definition: text,
  title: v.optional(text),
  /** File beside plan.json, an https address, or (`from`) the elevation layer it is computed from. Exactly one of the three. */
  path: v.optional(
    v.pipe(text, v.regex(/^(?!\/)(?!.*\.\.(\/|$)).+/, 'a path beside plan.json, without ".."')),
  ),
  url: v.optional(v.pipe(text, v.regex(/^https?:\/\//, 'an http(s) address'))),
  /** Id of an elevation layer: this one is computed from it, as its definition says (`derives`). */
  from: v.optional(id),
  /** Relative position: metres about a place that it is compared with; absent or 0 = the eight neighbouring cells. */
  radius: v.optional(notNegative),
  /** 1-based band of a raster. */
  band: v.optional(v.pipe(v.number(), v.integer(), v.minValue(1)), 1),
  /** Unit of the file's values, where it is not the definition's: converted on reading (domain/layers/fileUnits.ts). */
  unit: v.optional(text),
  /** Years a climate layer describes: "1991-2020". */
  period: v.optional(text, ''),
  source: v.optional(text, ''),
  date: v.optional(text, ''),
  licence: v.optional(text, ''),
  /** Overrides the file's coordinate system: EPSG code, WKT or PROJ string. */
  crs: v.optional(text),
  /** Attribute that identifies a zone, and the one that names it. */
  key: v.optional(text),
  name: v.optional(text),
  /** Attribute that holds a year: since when the ground is built over, the burial ground is open, the building stands, the tree is planted. */
  year: v.optional(text),
  /** Column of a table for each field of a candidate or inventory entry, where the guess is not right; "" = in no column. */
  columns: v.optional(v.record(text, text)),
  /** Which of the things in the file: a table, a sheet, a variable, a layer of a zip. */
  part: v.optional(text),
  /** Mistakes of position that are mended on reading, as the user accepted them. */
  mend: v.optional(v.array(v.picklist(['axes', 'sign', 'zeros', 'degrees']))),
  /** Names as written in a table -> scientific name, as the user settled them; "" = left unknown. */
  names: v.optional(v.record(text, text)),
  /** Zones: pairs of keys whose contact the user set by hand. */
  contacts: v.optional(
    v.array(v.strictObject({ a: text, b: text, contact: v.picklist(['edge', 'corner', 'none']) })),
  ),
  /** Land cover: value of the raster -> ground class, where it is not the NLCD legend. */
  classes: v.optional(v.record(v.pipe(text, v.regex(/^\d{1,3}$/, 'a whole number from 0 to 255')), text)),
  /**
   * Size in bytes and SHA-256 (hex) of the file, by which it is known again when it is not in the workspace. Of a file over
   * 64 MiB only both ends and the size are hashed (io/fingerprint.ts).
   */
  size: v.optional(notNegative),
  sha256: v.optional(v.pipe(text, v.regex(/^[0-9a-f]{64}$/, '64 hexadecimal digits'))),
});

/** Fields of a candidate (see domain/candidates/columns.ts) as text, as a notebook would write them. */
const fields = v.record(text, text);

/** What was changed by hand in the candidates that files hold; the files stay as they are. */
export const CandidateEditsSchema = v.strictObject({
  /** Candidates set down by hand: fields with "id", "lon" and "lat" among them. */
  added: v.optional(v.array(fields), []),
  /** id -> fields that stand in place of the file's. */
  changed: v.optional(v.record(text, fields), {}),
  removed: v.optional(v.array(text), []),
  /** Records of one tree: `keep` stands for it, the others are kept on record with it. "apart": two trees after all. */
  merged: v.optional(v.array(v.strictObject({ keep: text, repeats: v.array(text) })), []),
  apart: v.optional(v.array(v.tuple([text, text])), []),
});

/** A geotagged photo kept in the workspace, at its own place or at a candidate. */
export const PhotoSchema = v.strictObject({
  path: text,
  lon,
  lat,
  /** Candidate it shows; "" = none. */
  candidate: v.optional(text, ''),
  /** As the camera wrote it: "2026-02-14T10:22:05". */
  date: v.optional(text, ''),
  /** Metres; degrees clockwise from north. */
  accuracy: v.optional(notNegative),
  direction: v.optional(v.pipe(v.number(), v.minValue(0), v.maxValue(360))),
  note: v.optional(text, ''),
});

/** A map picture beneath the layers, set by the user; absent: the outlines that come with the app. */
export const BasemapSchema = v.strictObject({
  kind: v.picklist(['pmtiles', 'xyz']),
  /** PMTiles: a file in the workspace or an address. XYZ: an address with {z}, {x}, {y}. */
  path: v.optional(text),
  url: v.optional(v.pipe(text, v.regex(/^https?:\/\//, 'an http(s) address'))),
  title: v.optional(text, ''),
  attribution: v.optional(text, ''),
});

const strength = v.picklist(['must', 'prefer', 'off']);

export const RulesSchema = v.strictObject({
  species: v.optional(v.strictObject({ strength }), { strength: 'must' }),
  zone: v.optional(
    v.strictObject({ strength, adjacent: v.boolean(), cornerCounts: v.boolean(), snap: notNegative }),
    {
      strength: 'must',
      adjacent: true,
      cornerCounts: false,
      snap: 30,
    },
  ),
  /** Metres that a candidate may stand lower or higher than the site. */
  elevation: v.optional(v.strictObject({ strength, lower: notNegative, higher: notNegative }), {
    strength: 'must',
    lower: 150,
    higher: 150,
  }),
  /** Km of the move candidate -> site, and its northward and southward parts. */
  transfer: v.optional(
    v.strictObject({ strength, km: positive, northKm: notNegative, southKm: notNegative }),
    {
      strength: 'prefer',
      km: 160,
      northKm: 160,
      southKm: 160,
    },
  ),
  match: v.optional(v.strictObject({ strength, least: share }), { strength: 'must', least: 0.05 }),
  /** Tolerance of single variables (layer ids), in the file's unit, below and above the site. */
  tolerance: v.optional(
    v.array(v.strictObject({ variable: id, strength, below: notNegative, above: notNegative })),
    [],
  ),
  origin: v.optional(v.strictObject({ strength, least: v.picklist(['likely natural', 'unsettled']) }), {
    strength: 'must',
    least: 'likely natural',
  }),
  identification: v.optional(v.strictObject({ strength }), { strength: 'prefer' }),
  /** At most this many other oaks of the same section within the radius; or, where a level is set, at most that risk. */
  hybrid: v.optional(
    v.strictObject({
      strength,
      radius: positive,
      most: notNegative,
      level: v.optional(v.picklist(['none on record', 'low', 'moderate'])),
    }),
    { strength: 'prefer', radius: 100, most: 0 },
  ),
  accuracy: v.optional(v.strictObject({ strength, most: positive }), { strength: 'must', most: 100 }),
  permission: v.optional(v.strictObject({ strength }), { strength: 'must' }),
  road: v.optional(v.strictObject({ strength, most: positive }), { strength: 'prefer', most: 1500 }),
  slope: v.optional(v.strictObject({ strength, most: positive }), { strength: 'prefer', most: 30 }),
});

export const PlantingSchema = v.strictObject({
  id,
  title: text,
  /** Scientific name in the species table. */
  species: text,
  site: SiteSchema,
  /** Further places to be planted with the same seed: a candidate has to suit every one. */
  moreSites: v.optional(v.array(SiteSchema), []),
  seedlings: v.optional(notNegative, 0),
  year: v.optional(v.pipe(v.number(), v.integer()), 0),
  /** Layer ids of the variables of the match. */
  variables: v.array(id),
  /** Variable (layer id) -> transform, where it is not its definition's. */
  transforms: v.optional(v.record(id, v.picklist(['identity', 'log'])), {}),
  /** What counts as an ordinary difference: between places of one zone, within a circle about the site, or as typed in. */
  spread: v.optional(
    v.variant('kind', [
      v.strictObject({ kind: v.literal('zones') }),
      v.strictObject({ kind: v.literal('circle'), km: positive }),
      /**
       * Variable (layer id) -> standard deviation among places that count as alike, in the layer's unit; of the natural
       * logarithm where that is compared.
       */
      v.strictObject({ kind: v.literal('typed'), sd: v.record(id, positive) }),
    ]),
    { kind: 'zones' },
  ),
  /** Period from which the site is read, where it differs from the candidates' ("" = the same layers). */
  sitePeriod: v.optional(text, ''),
  rules: v.optional(RulesSchema, {}),
  parents: v.optional(
    v.strictObject({
      count: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(500)),
      spacing: positive,
      /** Exponents of the geometric mean: match, origin probability, tree quality; 0 leaves one out. */
      match: v.optional(notNegative, 1),
      origin: v.optional(notNegative, 1),
      quality: v.optional(notNegative, 1),
    }),
    { count: 10, spacing: 402.336 },
  ),
  locks: v.optional(v.array(text), []),
  bans: v.optional(v.array(text), []),
  /** A standing set by a person against the rules. The reason is shown wherever the candidate is. */
  overrides: v.optional(
    v.array(
      v.strictObject({
        candidate: text,
        standing: v.picklist(['eligible', 'ruled out']),
        reason: v.pipe(text, v.trim(), v.minLength(3, 'a reason')),
        by: v.optional(text, ''),
        date: v.optional(text, ''),
      }),
    ),
    [],
  ),
  scouting: v.optional(
    v.strictObject({
      start: v.optional(PlaceSchema),
      /** Absent: back to the start. */
      end: v.optional(PlaceSchema),
      date: v.optional(text, ''),
      /** Minutes after midnight. */
      leave: v.optional(v.pipe(v.number(), v.minValue(0), v.maxValue(1439)), 450),
      hours: v.optional(positive, 9),
      stopMinutes: v.optional(notNegative, 20),
      /** Straight-line travel: speed, and how much longer the road is than the line. */
      kmh: v.optional(positive, 50),
      detour: v.optional(v.pipe(v.number(), v.minValue(1)), 1.3),
    }),
    {},
  ),
});

/** Statement on record: decides the origin of a tree for every planting, and is an outcome that the weights can be re-fitted on. */
export const StatementSchema = v.strictObject({
  candidate: text,
  origin: v.picklist(['natural', 'planted']),
  reason: v.pipe(text, v.trim(), v.minLength(3, 'a reason')),
  by: text,
  date: text,
  /** How it is known: told by somebody (the usual), seen at the tree while scouting, found in records. */
  how: v.optional(v.picklist(['told', 'scouted', 'records'])),
});

/** One piece of evidence's weights: steps of a number, or words of a class. Ratios over 1 speak for natural origin. */
export const PieceWeightSchema = v.strictObject({
  piece: text,
  /** value < below -> ratio; the last step has no `below` and takes the rest. */
  steps: v.optional(v.array(v.strictObject({ below: v.optional(v.number()), ratio: positive }))),
  classes: v.optional(v.record(text, positive)),
  note: v.optional(text, ''),
});

export const OriginWeightsSchema = v.strictObject({
  version: text,
  note: v.optional(text, ''),
  /** Prior odds of natural origin. */
  prior: positive,
  pieces: v.array(PieceWeightSchema),
});

/** What the evidence on origin is measured with, besides layers and weights. */
export const EvidenceSettingsSchema = v.strictObject({
  /** Metres: trees of a species with no stand are one group while each is within it of another. */
  link: v.optional(positive, 60),
  /** Scientific name -> years an inch of diameter, in place of the table of species or where it has none. */
  growth: v.optional(v.record(text, positive), {}),
  /** Share by which an age from diameter may be off, up or down. */
  ageError: v.optional(v.pipe(v.number(), v.gtValue(0), v.ltValue(1)), 0.3),
});

/** A table of weights that was in use, and the verdicts that the next one changed. */
export const PastWeightsSchema = v.strictObject({
  /** Whole, also where it was built in: the next version of the program may have another one. */
  table: OriginWeightsSchema,
  version: text,
  /** Until when, and what took its place ("re-fitted on 42 outcomes", "file weights.json", "the built-in table"). */
  until: text,
  why: text,
  /** Candidate -> what it was under this table; those that are not named did not change with the next one. */
  verdicts: v.record(
    text,
    v.strictObject({
      verdict: v.picklist(['likely natural', 'unsettled', 'likely planted', 'not enough evidence']),
      probability: share,
    }),
  ),
});

export const PlanSchema = v.strictObject({
  $schema: v.optional(text),
  kinstand: v.literal(PLAN_VERSION),
  title: text,
  /** Says on every screen and export what the data is ("Invented demonstration data ..."). */
  notice: v.optional(text, ''),
  plantings: v.array(PlantingSchema),
  layers: v.array(LayerEntrySchema),
  /** Absent: the built-in table. */
  originWeights: v.optional(OriginWeightsSchema),
  /** Oldest first. */
  pastWeights: v.optional(v.array(PastWeightsSchema), []),
  evidence: v.optional(EvidenceSettingsSchema, {}),
  statements: v.optional(v.array(StatementSchema), []),
  candidates: v.optional(CandidateEditsSchema, {}),
  photos: v.optional(v.array(PhotoSchema), []),
  basemap: v.optional(BasemapSchema),
});

export type Plan = v.InferOutput<typeof PlanSchema>;
export type PlanInput = v.InferInput<typeof PlanSchema>;
export type Planting = v.InferOutput<typeof PlantingSchema>;
export type Site = v.InferOutput<typeof SiteSchema>;
export type SpreadChoice = Planting['spread'];
export type LayerEntry = v.InferOutput<typeof LayerEntrySchema>;
export type Rules = v.InferOutput<typeof RulesSchema>;
export type OriginWeights = v.InferOutput<typeof OriginWeightsSchema>;
export type PieceWeight = v.InferOutput<typeof PieceWeightSchema>;
export type EvidenceSettings = v.InferOutput<typeof EvidenceSettingsSchema>;
export type PastWeights = v.InferOutput<typeof PastWeightsSchema>;
export type Statement = v.InferOutput<typeof StatementSchema>;
export type CandidateEdits = v.InferOutput<typeof CandidateEditsSchema>;
export type Photo = v.InferOutput<typeof PhotoSchema>;
export type Basemap = v.InferOutput<typeof BasemapSchema>;
export type PlanPlace = v.InferOutput<typeof PlaceSchema>;
