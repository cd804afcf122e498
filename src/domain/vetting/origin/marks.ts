import type { MultiPolygon, Place } from '../../base/geo.ts';
import type { Ground } from '../../layers/landcover.ts';

/** What a piece of evidence was read from, as it is drawn on the map about the tree whose sheet is open. */
export type EvidenceMark = { readonly piece: string; readonly label: string } & (
  | { readonly kind: 'circle'; readonly centre: Place; readonly metres: number }
  /** A cell of land cover: its corners, closed. `ground` null: counts as nothing. */
  | { readonly kind: 'cell'; readonly ring: readonly Place[]; readonly ground: Ground | null }
  | { readonly kind: 'area'; readonly geometry: MultiPolygon }
  | { readonly kind: 'line'; readonly line: readonly Place[] }
  /** From the tree to what is nearest. */
  | { readonly kind: 'link'; readonly from: Place; readonly to: Place }
  /** Trees that belong together, in order along a row where they stand in one (`joined`). */
  | {
      readonly kind: 'trees';
      readonly rows: Int32Array;
      readonly places: readonly Place[];
      readonly joined: boolean;
    }
  | { readonly kind: 'spot'; readonly place: Place }
);
