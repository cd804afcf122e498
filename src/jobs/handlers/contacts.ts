/** Which zones of the open zones layer touch: as drawn, and as a person set it. */
import { fail, ok, type Result } from '../../domain/base/result.ts';
import { adjacency } from '../../domain/layers/adjacency.ts';
import { areaBox } from '../../domain/layers/areaBox.ts';
import { contactTable, type ContactRow, type HandContacts } from '../../domain/layers/contacts.ts';
import type { Zone, ZoneAdjacency } from '../../domain/layers/zones.ts';
import type { Jobs } from '../protocol.ts';
import { followPlan, type Desk } from './desk.ts';
import { zonesLayer } from './zonesOn.ts';

export const TANGLED = 'has zones with outlines too tangled to tell which of them touch';

export interface AdjacencyTable {
  readonly zones: readonly Zone[];
  readonly rows: readonly ContactRow[];
  readonly stray: HandContacts;
  readonly snap: number;
  /** The outlines are too tangled to tell which zones touch: only what was set by hand is in the rows. */
  readonly gaveUp: boolean;
}

/**
 * The table of pairs of the open zones layer, with the contacts of its entry in place of what is drawn; null without zones.
 * What is drawn is computed once a snap distance, the rest is read anew from the entry each time.
 */
export function adjacencyTable(desk: Desk, snap: number): AdjacencyTable | null {
  const layer = zonesLayer(desk);
  if (!layer?.zones) return null;
  const asDrawn = drawn(desk, layer.entry.id, layer.zones, snap);
  const { rows, stray } = contactTable(layer.zones, asDrawn, layer.entry.contacts);
  return { zones: layer.zones, rows, stray, snap, gaveUp: asDrawn.gaveUp === true };
}

function drawn(desk: Desk, id: string, zones: readonly Zone[], snap: number): ZoneAdjacency {
  const key = `${id} ${snap}`;
  const held = desk.adjacency.get(key);
  if (held) return held;
  const made = adjacency(zones, snap);
  desk.adjacency.set(key, made);
  return made;
}

/** The job: the table for the screen, with keys and names in place of indices. */
export function contacts(desk: Desk, input: Jobs['contacts']['input']): Result<Jobs['contacts']['output']> {
  followPlan(desk, input.layers);
  const layer = zonesLayer(desk);
  const table = adjacencyTable(desk, input.snap);
  if (!layer || !table)
    return fail('content', 'Zones', 'are not open', 'Add a layer of zones, or see what is wrong with it.');
  const { zones, rows, stray, snap } = table;
  if (table.gaveUp)
    return fail('content', layer.opened.file, TANGLED, 'Mend its outlines in another program.');
  return ok({
    layer: layer.entry.id,
    zones: zones.map(({ key, name, area }) => ({ key, name, box: areaBox(area.geometry) })),
    pairs: rows.map((r) => ({
      a: zones[r.a].key,
      b: zones[r.b].key,
      names: [zones[r.a].name, zones[r.b].name],
      contact: r.contact,
      drawn: r.drawn,
      sharedMetres: r.sharedMetres,
      byHand: r.byHand,
    })),
    stray,
    snap,
  });
}
