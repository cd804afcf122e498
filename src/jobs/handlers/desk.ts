/** What one worker (or one run of the command) holds open: layers by id, and what was made of them once. */
import type { Candidates } from '../../domain/candidates/candidates.ts';
import type { Note } from '../../domain/base/result.ts';
import type { LayerDefinition } from '../../domain/layers/definition.ts';
import type { ZoneAdjacency, Zone } from '../../domain/layers/zones.ts';
import type { LayerEntry } from '../../domain/plan/schema.ts';
import type { Opened } from '../../io/read/types.ts';
import type { RasterFigures } from '../protocol.ts';

export interface OpenLayer {
  readonly entry: LayerEntry;
  readonly definition: LayerDefinition;
  readonly opened: Opened;
  /** What the band holds, ramp and histogram are made of it; null for vectors and for a band without values. */
  readonly figures: RasterFigures | null;
  /** Set for zones. */
  readonly zones: readonly Zone[] | null;
  /** Set for candidates. */
  readonly candidates: Candidates | null;
  readonly notes: readonly Note[];
}

export interface Desk {
  readonly layers: Map<string, OpenLayer>;
  /** Ids of the plan's layers in its order, as the last job that knew the plan gave them; empty before. */
  order: readonly string[];
  /** Adjacency by zones layer and snap distance: dear to compute, cheap to keep. */
  readonly adjacency: Map<string, ZoneAdjacency>;
  /** What was computed from the open layers, whatever the planting; another map when one is opened or closed. */
  memo: Map<string, unknown>;
}

export const createDesk = (): Desk => ({
  layers: new Map(),
  order: [],
  adjacency: new Map(),
  memo: new Map(),
});

/**
 * Gives open layers the entries of the plan as it is now: a title, source, date, period, contact of zones or ground of a
 * class is edited without the file being opened again. The order in which they were opened stays, since rows of candidates
 * hang on it; which layer comes first is told by the plan (layersOf).
 */
export function followPlan(desk: Desk, entries: readonly LayerEntry[]): void {
  desk.order = entries.map((e) => e.id);
  for (const entry of entries) {
    const layer = desk.layers.get(entry.id);
    if (layer && layer.entry !== entry) desk.layers.set(entry.id, { ...layer, entry });
  }
}

/** The open layers of one definition, in the order in which they were opened. */
export const asOpened = (desk: Desk, definition: string): OpenLayer[] =>
  [...desk.layers.values()].filter((l) => l.entry.definition === definition);

/** The open layers of one definition, in the order of the plan; layers that it does not name come last. */
export function layersOf(desk: Desk, definition: string): OpenLayer[] {
  const place = (l: OpenLayer): number => {
    const at = desk.order.indexOf(l.entry.id);
    return at < 0 ? desk.order.length : at;
  };
  return asOpened(desk, definition).sort((a, b) => place(a) - place(b));
}
