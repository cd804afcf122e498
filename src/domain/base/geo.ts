/** Plain geometry records. Coordinates are WGS 84 degrees in lon, lat order unless a name says otherwise. */
export interface Place {
  readonly lon: number;
  readonly lat: number;
}

/** west, south, east, north (degrees), or minX, minY, maxX, maxY in a projected system. */
export type Box = readonly [number, number, number, number];

/** One ring: closed (first = last) list of [x, y]. */
export type Ring = ReadonlyArray<readonly [number, number]>;

/** Outer ring first, then holes. */
export type Polygon = ReadonlyArray<Ring>;

/** Everything that is one feature's area: several polygons with holes. */
export type MultiPolygon = ReadonlyArray<Polygon>;

export type Line = ReadonlyArray<readonly [number, number]>;

export type Attributes = Readonly<Record<string, string | number | boolean | null>>;

/** A feature of a context layer, already in WGS 84. Kinds are separated so that no code asks for a type twice. */
export interface Area {
  readonly geometry: MultiPolygon;
  readonly attributes: Attributes;
}
export interface Track {
  readonly lines: readonly Line[];
  readonly attributes: Attributes;
}
export interface Spot extends Place {
  readonly attributes: Attributes;
}
