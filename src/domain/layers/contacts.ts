import type { LayerEntry } from '../plan/schema.ts';
import type { Contact, Zone, ZoneAdjacency } from './zones.ts';

/** Contacts that a person set, as the layer's entry keeps them: by zone keys, in either order. */
export type HandContacts = NonNullable<LayerEntry['contacts']>;

export interface ContactRow {
  /** Indices into the zones list, a < b. */
  readonly a: number;
  readonly b: number;
  /** What counts. */
  readonly contact: Contact | 'none';
  /** What the shapes say. */
  readonly drawn: Contact | 'none';
  readonly sharedMetres: number;
  readonly byHand: boolean;
}

/**
 * The table of pairs: what the shapes say, with what a person set in its place. A pair named twice takes the last word; one
 * of a key that no zone has, or of a zone with itself, is in `stray` and says nothing.
 * @returns rows in ascending order of a, then b.
 */
export function contactTable(
  zones: readonly Zone[],
  drawn: ZoneAdjacency,
  byHand: HandContacts = [],
): { readonly rows: readonly ContactRow[]; readonly stray: HandContacts } {
  const rows = new Map<number, ContactRow>();
  for (const { a, b, contact, sharedMetres } of drawn.pairs)
    rows.set(a * zones.length + b, { a, b, contact, drawn: contact, sharedMetres, byHand: false });
  const index = new Map(zones.map((z, i) => [z.key, i]));
  const stray: HandContacts = [];
  for (const set of byHand) {
    const [one, two] = [index.get(set.a), index.get(set.b)];
    if (one === undefined || two === undefined || one === two) {
      stray.push(set);
      continue;
    }
    const [a, b] = one < two ? [one, two] : [two, one];
    const held = rows.get(a * zones.length + b);
    rows.set(a * zones.length + b, {
      a,
      b,
      contact: set.contact,
      drawn: held?.drawn ?? 'none',
      sharedMetres: held?.sharedMetres ?? 0,
      byHand: true,
    });
  }
  return { rows: [...rows.values()].sort((p, q) => p.a - q.a || p.b - q.b), stray };
}

/** The adjacency that counts: pairs set to "none" are no pairs. */
export const adjacencyOf = (rows: readonly ContactRow[], snap: number): ZoneAdjacency => ({
  snap,
  pairs: rows.flatMap(({ a, b, contact, sharedMetres }) =>
    contact === 'none' ? [] : [{ a, b, contact, sharedMetres }],
  ),
});
