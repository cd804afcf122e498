import type { Line, MultiPolygon, Place } from '../../base/geo.ts';
import type { Ground } from '../../layers/landcover.ts';

/**
 * What pieces of evidence were read from, as it is drawn on the map about the tree whose sheet is open. `pieces`: ids of those
 * that hang on it; `label`: what it is, a word or two, '' where the drawing says it.
 */
export type EvidenceMark = { readonly pieces: readonly string[]; readonly label: string } & (
  | { readonly kind: 'circle'; readonly centre: Place; readonly metres: number }
  /** Cells of land cover of one kind of ground, null where they count as nothing; their share of the cells that count. */
  | {
      readonly kind: 'ground';
      readonly ground: Ground | null;
      readonly cells: number;
      readonly share: number;
      readonly geometry: MultiPolygon;
      /** Where its label stands: in the middle of one of the cells. */
      readonly at: Place;
    }
  | { readonly kind: 'area'; readonly geometry: MultiPolygon }
  | { readonly kind: 'lines'; readonly lines: readonly Line[] }
  /** From the tree to what is nearest: the metres that the sheet tells. */
  | { readonly kind: 'link'; readonly from: Place; readonly to: Place; readonly metres: number }
  /** Trees that belong together, in order along a row where they stand in one (`joined`). */
  | {
      readonly kind: 'trees';
      readonly rows: Int32Array;
      readonly places: readonly Place[];
      readonly joined: boolean;
    }
  | { readonly kind: 'spot'; readonly place: Place }
);
