import { roadRows, type RoadRows } from '../../domain/candidates/roadRows.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { nearest, type NearestColumns } from '../../domain/layers/nearest.ts';
import type { Desk } from './desk.ts';
import { REACH_METRES } from './reach.ts';
import { shapesOf, type Shapes } from './shapesOf.ts';

export interface RoadsAt extends Shapes<'line'> {
  /** The nearest line of any class, for each candidate. */
  readonly near: NearestColumns;
  readonly rows: RoadRows;
}

const MEMO = 'roads at candidates';

/** Nearest road of every candidate and the rows along roads; null without roads. Kept, as one tree is asked after often. */
export function roadsAt(desk: Desk, candidates: Candidates): RoadsAt | null {
  const shapes = shapesOf(desk, 'roads', 'line');
  if (!shapes) return null;
  const held = desk.memo.get(MEMO) as { candidates: Candidates; at: RoadsAt } | undefined;
  if (held?.candidates === candidates && held.at.index === shapes.index) return held.at;
  const near = nearest(shapes.index, candidates.lon, candidates.lat, { reach: REACH_METRES });
  const at = { ...shapes, near, rows: roadRows(candidates, shapes.index, near) };
  desk.memo.set(MEMO, { candidates, at });
  return at;
}
