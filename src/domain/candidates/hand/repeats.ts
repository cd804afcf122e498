/** Records that seem to be of one tree, put together so that somebody can decide. */
import { localFrame } from '../../base/localFrame.ts';
import type { Candidates } from '../candidates.ts';
import { GROWTH } from '../duplicates.ts';
import { EDIT_FIELDS, fieldText, type EditField, type FieldTexts } from './editFields.ts';

export interface RepeatGroup {
  /** Rows, the one that stands at present first. */
  readonly rows: readonly number[];
  /** Metres from the first. */
  readonly metres: readonly number[];
  /** Row of the record that holds most; of equals the one with the better position, then the first. */
  readonly best: number;
  /** Fields in which two records say different things. */
  readonly differ: readonly EditField[];
  /** Nothing on record speaks against one tree: they differ at most in where they were seen, when, and what was noted. */
  readonly clear: boolean;
}

/** What two visits to one tree write down differently without being wrong. */
const MAY_DIFFER: ReadonlySet<EditField> = new Set([
  'lat',
  'lon',
  'accuracy',
  'date',
  'notes',
  'crop',
  'identifiedBy',
]);

/** Groups of repeated records, in the order of the rows that stand. */
export function repeatGroups(candidates: Candidates): RepeatGroup[] {
  const { n, duplicateOf } = candidates;
  const groups = new Map<number, number[]>();
  for (let i = 0; i < n; i++) {
    const first = duplicateOf[i];
    if (first < 0) continue;
    const group = groups.get(first);
    if (group) group.push(i);
    else groups.set(first, [first, i]);
  }
  return [...groups.entries()].sort(([a], [b]) => a - b).map(([, rows]) => groupOf(candidates, rows));
}

function groupOf(c: Candidates, rows: readonly number[]): RepeatGroup {
  const { lonMetres, latMetres } = localFrame(c.lat[rows[0]]);
  const differ = EDIT_FIELDS.filter((f) => fieldDiffers(c, rows, f));
  const held = (row: number): number => EDIT_FIELDS.filter((f) => fieldText(c, row, f) !== '').length;
  const radius = (row: number): number => (Number.isNaN(c.accuracy[row]) ? Infinity : c.accuracy[row]);
  const best = [...rows].sort(
    (a, b) => held(b) - held(a) || (radius(a) < radius(b) ? -1 : radius(a) > radius(b) ? 1 : a - b),
  )[0];
  return {
    rows,
    metres: rows.map((r) =>
      Math.hypot((c.lon[r] - c.lon[rows[0]]) * lonMetres, (c.lat[r] - c.lat[rows[0]]) * latMetres),
    ),
    best,
    differ,
    clear: differ.every((f) => MAY_DIFFER.has(f)),
  };
}

/** Two records say something, and not the same. The species was found to be the same by its name in the table. */
function fieldDiffers(c: Candidates, rows: readonly number[], field: EditField): boolean {
  if (field === 'species') return false;
  if (field === 'dbh') {
    // A tree grows, and two tapes differ.
    const known = rows.map((r) => c.dbh[r]).filter((x) => !Number.isNaN(x));
    return Math.max(...known) - Math.min(...known) > GROWTH * Math.max(...known);
  }
  const said = new Set(rows.map((r) => fieldText(c, r, field).trim().toLowerCase()).filter((t) => t !== ''));
  return said.size > 1;
}

/** What the record that stands does not say and another of its tree does: taken from the first that says it. */
export function gapsFilled(candidates: Candidates, keep: number, rows: readonly number[]): FieldTexts {
  const fields: Record<string, string> = {};
  for (const field of EDIT_FIELDS) {
    if (fieldText(candidates, keep, field) !== '') continue;
    const from = rows.find((r) => fieldText(candidates, r, field) !== '');
    if (from !== undefined) fields[field] = fieldText(candidates, from, field);
  }
  // The accuracy is that of its own record's position.
  delete fields['accuracy'];
  return fields;
}
