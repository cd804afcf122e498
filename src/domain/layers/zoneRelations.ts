import type { ZoneAdjacency } from './zones.ts';

/** How a zone lies to the home zone, from what is asked for to what is least so. */
export const ZONE_RELATIONS = ['home', 'adjacent', 'corner', 'other'] as const;
const [HOME, ADJACENT, CORNER, OTHER] = ZONE_RELATIONS.keys();

/**
 * How each of `zones` zones lies to the home zone, by index into ZONE_RELATIONS.
 * @param adjacency null: not known which zones touch; all but the home zone are then "other". @param home -1 none.
 */
export function zoneRelations(
  adjacency: Pick<ZoneAdjacency, 'pairs'> | null,
  zones: number,
  home: number,
): Uint8Array {
  const relation = new Uint8Array(Math.max(zones, home + 1)).fill(OTHER);
  for (const { a, b, contact } of adjacency?.pairs ?? []) {
    const neighbour = a === home ? b : b === home ? a : -1;
    if (neighbour >= 0) relation[neighbour] = contact === 'edge' ? ADJACENT : CORNER;
  }
  if (home >= 0) relation[home] = HOME;
  return relation;
}
