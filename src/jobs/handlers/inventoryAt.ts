import type { Candidates } from '../../domain/candidates/candidates.ts';
import { inventory, type InventoryColumns, type InventoryList } from '../../domain/candidates/inventory.ts';
import { nearest } from '../../domain/layers/nearest.ts';
import type { Spot } from '../../domain/base/geo.ts';
import { layersOf, type Desk } from './desk.ts';
import { REACH_METRES } from './reach.ts';
import { shapesOf } from './shapesOf.ts';

export interface InventoryAt extends InventoryColumns {
  /** Of all lists, as `entry` counts them. */
  readonly entries: readonly Spot[];
}

const MEMO = 'inventory at candidates';

/** How every candidate stands to the lists of trees; null without lists. Kept, as one tree is asked after often. */
export function inventoryAt(desk: Desk, candidates: Candidates): InventoryAt | null {
  const shapes = shapesOf(desk, 'inventory', 'point');
  if (!shapes) return null;
  const lists = inventoryLists(desk);
  const key = JSON.stringify(lists.map((l) => [l.title, l.columns, l.names, l.year]));
  const held = desk.memo.get(MEMO) as
    { key: string; candidates: Candidates; index: typeof shapes.index; at: InventoryAt } | undefined;
  if (held?.key === key && held.candidates === candidates && held.index === shapes.index) return held.at;
  const any = nearest(shapes.index, candidates.lon, candidates.lat, { reach: REACH_METRES }).metres;
  const at = { ...inventory(candidates, lists, any), entries: shapes.features };
  desk.memo.set(MEMO, { key, candidates, index: shapes.index, at });
  return at;
}

const inventoryLists = (desk: Desk): InventoryList[] =>
  layersOf(desk, 'inventory').flatMap(({ entry, definition, opened: { content } }) =>
    content.kind === 'point'
      ? [
          {
            title: entry.title ?? definition.title,
            entries: content.features,
            columns: entry.columns,
            names: entry.names,
            year: entry.year,
          },
        ]
      : [],
  );
