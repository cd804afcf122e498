/** The table of candidates as edited, against Papa Parse and read back by the reader of tables. */
import Papa from 'papaparse';
import { expect, test } from 'vitest';
import { tableOf } from '../../../src/domain/base/table.ts';
import { applyEdits } from '../../../src/domain/candidates/hand/edits.ts';
import { EDIT_FIELDS, fieldText } from '../../../src/domain/candidates/hand/editFields.ts';
import { candidatesFrom } from '../../../src/domain/candidates/table/fromTable.ts';
import { freshPlan } from '../../../src/domain/plan/fresh.ts';
import { candidatesCsv } from '../../../src/io/write/candidates.ts';
import { make } from '../../domain/candidates/make.ts';

const edited = applyEdits(
  make([
    { id: 'A', dbh: 55.88, accuracy: 4.5, text: { owner: 'Ash, "Woody"', file: 'a.csv', row: '2' } },
    { id: 'B', species: 'who knows', text: { file: 'a.csv', row: '3' } },
    { id: 'C', text: { file: 'a.csv', row: '4' } },
  ]),
  {
    ...freshPlan('').candidates,
    added: [
      { id: 'H1', lat: '38.5', lon: '-84.5', species: 'Quercus alba × macrocarpa', permission: 'granted' },
    ],
    changed: { B: { notes: 'two\nlines' } },
    merged: [{ keep: 'A', repeats: ['C'] }],
  },
).candidates;

test('holds edits, where each record came from, and the other records of a tree', () => {
  const rows = Papa.parse<Record<string, string>>(candidatesCsv(edited, 'invented'), {
    header: true,
    skipEmptyLines: true,
  }).data;
  expect(rows.map((r) => r['id'])).toEqual(['A', 'B', 'H1']);
  expect(rows[0]).toMatchObject({
    owner: 'Ash, "Woody"',
    dbh_cm: '55.88',
    source_file: 'a.csv',
    source_row: '2',
    other_records: 'C (a.csv, row 4)',
    notice: 'invented',
  });
  expect(rows[1]['notes']).toBe('two\nlines');
  expect(rows[2]).toMatchObject({ source_file: 'by hand', permission: 'granted', other_records: '' });
});

test('read back gives the same candidates', async () => {
  const { data } = Papa.parse<string[]>(candidatesCsv(edited, ''), { skipEmptyLines: true });
  const read = await candidatesFrom(tableOf(data[0], data.slice(1)), 'x.csv', {}, {});
  if (!read.ok) throw new Error(read.failure.what);
  const { candidates } = read.value;
  expect(candidates.id).toEqual(edited.id);
  for (let row = 0; row < edited.n; row++)
    for (const f of EDIT_FIELDS)
      expect(`${f} ${fieldText(candidates, row, f)}`).toBe(`${f} ${fieldText(edited, row, f)}`);
  expect(candidates.species).toEqual(edited.species);
  expect(candidates.hybrid).toEqual(edited.hybrid);
});
