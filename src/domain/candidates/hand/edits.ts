/** What was changed by hand, laid over the candidates that files hold. The files stay as they are. */
import type { Note } from '../../base/result.ts';
import type { CandidateEdits } from '../../plan/schema.ts';
import type { Candidates, Records, TextField } from '../candidates.ts';
import { duplicates } from '../duplicates.ts';
import { EDIT_FIELDS, fieldsOf, isNumberField, type EditField, type FieldTexts } from './editFields.ts';
import { joinRecords } from '../join.ts';
import { pick } from '../pick.ts';
import { readFields } from '../table/readFields.ts';
import { rowIndex } from '../table/rowIndex.ts';

export interface Edited {
  readonly candidates: Candidates;
  /** Edits that could not be laid on, and values that were not understood. The edits themselves stay in the plan. */
  readonly notes: readonly Note[];
}

export const noEdits = (e: CandidateEdits): boolean =>
  e.added.length === 0 &&
  e.removed.length === 0 &&
  e.merged.length === 0 &&
  e.apart.length === 0 &&
  Object.keys(e.changed).length === 0;

/**
 * The candidates as edited: rows of the files in their order, without those that were removed or merged into another, then
 * those set down by hand. A tree of several records has the row of the record that stands; the others are kept with it
 * (`behind`). An edit of a candidate that is not there is noted and does nothing. Without edits the candidates themselves.
 */
export function applyEdits(base: Candidates, edits: CandidateEdits): Edited {
  if (noEdits(edits)) return { candidates: base, notes: [] };
  const notes: Note[] = [];
  const withNew = withAdded(base, edits, notes);
  const rowOf = rowsOf(base, withNew);
  const all = overlaid(withNew, edits, rowOf, notes);

  const gone = new Set<number>();
  for (const id of edits.removed) {
    const row = rowOf(id);
    if (row === undefined)
      notes.push({ where: id, what: 'was removed by hand, but is not among the candidates any more' });
    else gone.add(row);
  }
  const keepOf = keeps(all, edits, rowOf, notes);
  const behind = new Map(all.behind);
  for (const [repeat, keep] of keepOf) {
    behind.set(keep, [
      ...(behind.get(keep) ?? []),
      fieldsOf(all, repeat),
      ...(all.behind?.get(repeat) ?? []),
    ]);
    // A tree that was removed is gone with all of its records.
    gone.add(repeat);
  }
  const whole = behind.size > 0 ? { ...all, behind } : all;
  const rows: number[] = [];
  for (let row = 0; gone.size > 0 && row < all.n; row++) if (!gone.has(row)) rows.push(row);
  const records = gone.size > 0 ? pick(whole, rows) : whole;
  const duplicateOf =
    edits.apart.length === 0 && REPEATS_FROM.every((column) => records[column] === base[column])
      ? base.duplicateOf
      : duplicates(records, apartIn(records, edits));
  return { candidates: { ...records, duplicateOf }, notes };
}

/** The columns by which repeats are found: while they are the files' own, so are the repeats. */
const REPEATS_FROM = ['lon', 'lat', 'accuracy', 'dbh', 'species', 'hybrid', 'speciesText'] as const;

type RowOf = (id: string) => number | undefined;

/** Ids of the files are looked up where they were before: a table of 200,000 is not indexed anew for each edit. */
function rowsOf(base: Candidates, all: Records): RowOf {
  const files = rowIndex(base.id);
  const added = new Map(all.id.slice(base.n).map((id, i) => [id, base.n + i]));
  return (id) => files.get(id) ?? added.get(id);
}

/** Files first, then what was set down by hand. */
function withAdded(base: Candidates, edits: CandidateEdits, notes: Note[]): Records {
  const { duplicateOf: _found, ...records } = base;
  if (edits.added.length === 0) return records;
  const items = edits.added.map((fields, i) => ({
    where: fields['id'] || `Candidate ${i + 1} added by hand`,
    fields,
  }));
  const { values, notes: read } = readFields(items);
  notes.push(...read);
  const placed: number[] = [];
  items.forEach(({ where }, i) => {
    if (Number.isNaN(values.lon[i]) || Number.isNaN(values.lat[i]))
      notes.push({ where, what: 'was added by hand without a usable position; left out' });
    else placed.push(i);
  });
  const added = pick(
    {
      ...values,
      id: items.map(({ fields }, i) => fields['id'] || `added ${i + 1}`),
      text: { ...values.text, file: items.map(() => BY_HAND) },
    },
    placed,
  );
  const files = rowIndex(base.id);
  const used = new Set<string>();
  const ids = added.id.map((id) => {
    let made = id;
    for (let k = 2; files.has(made) || used.has(made); k++) made = `${id}-${k}`;
    used.add(made);
    if (made !== id)
      notes.push({
        where: id,
        what: `was added by hand under an id that is there already; called "${made}"`,
      });
    return made;
  });
  return joinRecords([records, added], [...records.id, ...ids]);
}

/** Stands where the name of the file stands for a record that came from one. */
export const BY_HAND = 'by hand';

/** Changed fields in place of the file's; only columns that change are copied. */
function overlaid(records: Records, edits: CandidateEdits, rowOf: RowOf, notes: Note[]): Records {
  const rows: number[] = [];
  const items: Array<{ where: string; fields: FieldTexts }> = [];
  for (const [id, fields] of Object.entries(edits.changed)) {
    const row = rowOf(id);
    if (row === undefined) {
      notes.push({ where: id, what: 'was changed by hand, but is not among the candidates any more' });
      continue;
    }
    rows.push(row);
    items.push({ where: id, fields });
  }
  if (items.length === 0) return records;
  const { values, notes: read } = readFields(items);
  notes.push(...read);
  const out: { -readonly [K in keyof Records]: Records[K] } = { ...records };
  const text: Partial<Record<TextField, readonly string[]>> = { ...records.text };
  const changed = (field: EditField): number[] =>
    items.flatMap(({ fields }, i) => (Object.hasOwn(fields, field) ? [i] : []));
  for (const field of EDIT_FIELDS) {
    const which = changed(field);
    if (which.length === 0) continue;
    if (isNumberField(field)) {
      const column = records[field].slice();
      for (const i of which) {
        // A tree without a position is none: the file's stays where the new one is not understood.
        if ((field !== 'lon' && field !== 'lat') || !Number.isNaN(values[field][i]))
          column[rows[i]] = values[field][i];
      }
      out[field] = column;
    } else if (field === 'species') {
      const [species, hybrid, written] = [
        records.species.slice(),
        records.hybrid.slice(),
        [...records.speciesText],
      ];
      for (const i of which) {
        species[rows[i]] = values.species[i];
        hybrid[rows[i]] = values.hybrid[i];
        written[rows[i]] = values.speciesText[i];
      }
      Object.assign(out, { species, hybrid, speciesText: written });
    } else if (field === 'permission') {
      const column = records.permission.slice();
      for (const i of which) column[rows[i]] = values.permission[i];
      out.permission = column;
    } else {
      const column = [...(records.text[field] ?? new Array<string>(records.n).fill(''))];
      for (const i of which) column[rows[i]] = values.text[field]?.[i] ?? '';
      text[field] = column;
    }
  }
  return { ...out, text };
}

/** Row of each repeat -> row of the record that stands for its tree. */
function keeps(all: Records, edits: CandidateEdits, rowOf: RowOf, notes: Note[]): Map<number, number> {
  const next = new Map<number, number>();
  const rootOf = (row: number): number => {
    let at = row;
    for (let up = next.get(at); up !== undefined; up = next.get(at)) at = up;
    return at;
  };
  for (const { keep, repeats } of edits.merged) {
    const to = rowOf(keep);
    if (to === undefined) {
      notes.push({
        where: keep,
        what: `stands for ${repeats.join(', ')} by hand, but is not among the candidates any more; they stand for themselves`,
      });
      continue;
    }
    for (const repeat of repeats) {
      const row = rowOf(repeat);
      if (row === undefined)
        notes.push({
          where: repeat,
          what: `was merged into ${keep}, but is not among the candidates any more`,
        });
      else if (next.has(row))
        notes.push({ where: repeat, what: `is merged twice; it stays with ${all.id[rootOf(row)]}` });
      else if (rootOf(to) === row)
        notes.push({ where: repeat, what: `cannot be merged into ${keep}, which is merged into it` });
      else next.set(row, to);
    }
  }
  return new Map([...next.keys()].map((row) => [row, rootOf(row)]));
}

/** Pairs that are two trees after all, by row. Ids that are not there belong to no pair. */
function apartIn(records: Records, edits: CandidateEdits): (a: number, b: number) => boolean {
  if (edits.apart.length === 0) return () => false;
  const others = new Map<string, Set<string>>();
  const put = (a: string, b: string): void => void others.set(a, (others.get(a) ?? new Set()).add(b));
  for (const [a, b] of edits.apart) {
    put(a, b);
    put(b, a);
  }
  return (a, b) => others.get(records.id[a])?.has(records.id[b]) ?? false;
}
