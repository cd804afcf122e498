/**
 * What a kind of layer is: plain data, one object a file in /layers, listed in /layers/index.ts.
 * A plan's layer entry names a definition; what the user's file says (band, period, source) sits in the entry.
 */
export type Role =
  | 'climate'
  | 'terrain'
  | 'soil'
  | 'land cover'
  | 'zones'
  | 'range'
  | 'buildings'
  | 'roads'
  | 'inventory'
  | 'settings'
  | 'barrier'
  | 'candidates';

export type Geometry = 'raster' | 'polygon' | 'line' | 'point';

/** Units of stored values. Display units are chosen at the edge (ui/format.ts). */
export type Unit = 'm' | '°' | '°C' | '°C d' | 'mm' | 'days' | '%' | 'class' | 'year' | 'pH' | '1';

export type Transform = 'identity' | 'log';

/** What can be computed from elevation (domain/layers/terrain.ts). */
export type Derivation = 'slope' | 'northness' | 'eastness' | 'relative position';

/** A ramp for numbers (colours from low to high) or named classes; the one source of paint, legend and table colour. */
export type Legend =
  | { readonly kind: 'ramp'; readonly colours: readonly string[] }
  | {
      readonly kind: 'classes';
      readonly classes: ReadonlyArray<{
        readonly value: number;
        readonly name: string;
        readonly colour: string;
      }>;
    }
  | { readonly kind: 'single'; readonly colour: string };

/** Whether a file of this kind can be such a layer; a table has positions. */
export const takes = (definition: LayerDefinition, kind: Geometry | 'table'): boolean => {
  const geometry = kind === 'table' ? 'point' : kind;
  return definition.geometry === geometry || definition.also === geometry;
};

export interface LayerDefinition {
  readonly id: string;
  /** As the user reads it, sentence case. */
  readonly title: string;
  readonly role: Role;
  readonly geometry: Geometry;
  /** Another geometry that serves as well. */
  readonly also?: Geometry;
  readonly unit: Unit | null;
  /** Applied before differences are taken (methods, environmental match). */
  readonly transform: Transform;
  /** Values outside are implausible and are noted, never changed. */
  readonly range: readonly [number, number] | null;
  readonly sampling: 'bilinear' | 'nearest' | null;
  readonly legend: Legend;
  /** Can be computed from an elevation layer, so. */
  readonly derives?: Derivation;
  /** Words for a difference: candidate minus site above zero / below zero ("warmer", "colder"). Rasters of numbers only. */
  readonly words?: readonly [string, string];
}
