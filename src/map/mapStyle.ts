/** What a style is made of, shared by all that make parts of it. */
import type { Feature, Geometry } from 'geojson';
import type { LayerSpecification } from 'maplibre-gl';
import type { Box } from '../domain/base/geo.ts';

export type MapSource =
  | { readonly kind: 'raster'; readonly key: string; readonly tiles: string; readonly bounds: Box }
  /** Tiles that the user chose to have beneath all. */
  | {
      readonly kind: 'basemap';
      readonly key: string;
      readonly type: 'raster' | 'vector';
      readonly tiles: string;
      readonly scheme: 'xyz' | 'tms';
      readonly minzoom: number;
      readonly maxzoom: number;
      readonly bounds: Box | null;
    }
  /** GeoJSON text that only the map's worker reads; new data is another Blob. */
  | { readonly kind: 'file'; readonly blob: Blob; readonly options: GeojsonOptions }
  /** A few features made on the spot, only when the key is another than before. */
  | {
      readonly kind: 'features';
      readonly key: string;
      readonly features: () => Feature[];
      readonly options: GeojsonOptions;
    };

export interface GeojsonOptions {
  readonly buffer?: number;
  readonly maxzoom?: number;
}

export interface MapStyle {
  readonly sources: Readonly<Record<string, MapSource>>;
  /** In the order of order.ts. */
  readonly layers: readonly LayerSpecification[];
}

export interface Outlines {
  readonly states: Geometry;
  readonly counties: Geometry;
  readonly names: Feature[];
}

export const EMPTY: MapStyle = { sources: {}, layers: [] };
