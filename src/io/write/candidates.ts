import type { Candidates } from '../../domain/candidates/candidates.ts';
import {
  EDIT_FIELDS,
  fieldText,
  isNumberField,
  type EditField,
} from '../../domain/candidates/hand/editFields.ts';
import { csv, type Cell } from './csv.ts';

/** Names of columns that the reader of tables knows, with the unit where there is one. */
const NAMES: Readonly<Partial<Record<EditField, string>>> = {
  accuracy: 'accuracy_m',
  dbh: 'dbh_cm',
  identifiedBy: 'identified_by',
  keyUsed: 'key_used',
};

/** Other records of the tree of a row: "B7 (trees.csv, row 12); C2"; '' where it has one record only. */
export const otherRecords = (candidates: Candidates, row: number): string =>
  (candidates.behind?.get(row) ?? [])
    .map(({ id, file, row: line }) => (file ? `${id} (${file}${line ? `, row ${line}` : ''})` : id))
    .join('; ');

/**
 * candidates.csv: a row a candidate as it stands with all that was done by hand, with the file and row that it came from and
 * the other records of its tree. Read back, it gives the same candidates.
 */
export function candidatesCsv(candidates: Candidates, notice: string): string {
  const held = EDIT_FIELDS.filter(
    (f) =>
      f in candidates ||
      f === 'species' ||
      (f in candidates.text && candidates.text[f as 'name'] !== undefined),
  );
  const cell = (row: number, field: EditField): Cell => {
    const text = fieldText(candidates, row, field);
    return isNumberField(field) ? (text === '' ? null : Number(text)) : text;
  };
  const merged = (candidates.behind?.size ?? 0) > 0;
  return csv(
    [
      'id',
      ...held.map((f) => NAMES[f] ?? f),
      'source_file',
      'source_row',
      ...(merged ? ['other_records'] : []),
      ...(notice ? ['notice'] : []),
    ],
    Array.from({ length: candidates.n }, (_, row): Cell[] => [
      candidates.id[row],
      ...held.map((f) => cell(row, f)),
      candidates.text.file?.[row] ?? '',
      candidates.text.row?.[row] ?? '',
      ...(merged ? [otherRecords(candidates, row)] : []),
      ...(notice ? [notice] : []),
    ]),
  );
}
