import type { Note } from '../../base/result.ts';
import { atOnce } from '../../base/steps.ts';
import { tableOf } from '../../base/table.ts';
import type { Records } from '../candidates.ts';
import { columnsOf } from './columns.ts';
import { degrees } from './degrees.ts';
import {
  EDIT_FIELDS,
  isEditField,
  NUMBER_FIELDS,
  type EditField,
  type FieldTexts,
} from '../hand/editFields.ts';
import { joinRecords } from '../join.ts';
import { Log } from './log.ts';
import { pick } from '../pick.ts';
import { recordsOf } from './records.ts';

export interface FieldsRead {
  /** Row i is item i. A position that is not given, or not understood, is NaN; so is an empty number. */
  readonly values: Records;
  readonly notes: readonly Note[];
}

interface Item {
  readonly where: string;
  readonly fields: FieldTexts;
}

/**
 * Fields written as text, read as the cells of a table are ("22 in", "N 38° 12.5'", "swamp white oak"). Columns hold every
 * field of candidates/editFields.ts that any item gives. A value that is not understood is left empty and noted with `where`;
 * one whose meaning other rows of a table would settle (9/10/2026, 1,250) is read by itself: no edit changes what another says.
 */
export function readFields(items: readonly Item[]): FieldsRead {
  const together: number[] = [];
  const alone: number[] = [];
  items.forEach(({ fields }, i) => (leans(fields) ? alone : together).push(i));
  const groups = [together, ...alone.map((i) => [i])].filter((g) => g.length > 0);
  const reads = groups.map((group) => readTogether(group.map((i) => items[i])));
  const order = groups.flat();
  const at = new Int32Array(items.length);
  order.forEach((item, row) => (at[item] = row));
  const values = joinRecords(
    reads.map((r) => r.values),
    order.map((item) => `#${item}`),
  );
  return { values: pick(values, at), notes: reads.flatMap((r) => r.notes) };
}

/** Whether the column of a value would tell how it is meant: day or month first, decimal comma or thousands. */
const leans = (fields: FieldTexts): boolean =>
  !/^(\d{4}-\d{2}-\d{2})?$/.test((fields['date'] ?? '').trim()) ||
  NUMBER_FIELDS.some((f) => (fields[f] ?? '').includes(','));

function readTogether(items: readonly Item[]): FieldsRead {
  const notes: Note[] = [];
  const given = new Set<EditField>();
  for (const { where, fields } of items) {
    for (const name of Object.keys(fields)) {
      if (isEditField(name)) given.add(name);
      else if (name !== 'id') notes.push({ where, what: `"${name}" is no field of a candidate; left out` });
    }
  }
  const columns = ['id', ...EDIT_FIELDS.filter((f) => given.has(f) && f !== 'lon' && f !== 'lat')];
  const table = tableOf(
    columns,
    items.map(({ fields }, i) => [`#${i}`, ...columns.slice(1).map((f) => fields[f as EditField] ?? '')]),
  );
  const log = new Log('');
  const { records } = atOnce(
    recordsOf(
      table,
      Int32Array.from(items.keys()),
      new Float64Array(items.length).fill(NaN),
      columnsOf(columns, Object.fromEntries(columns.map((c) => [c, c]))),
      {},
      '',
      log,
    ),
  );
  const lon = new Float64Array(items.length).fill(NaN);
  const lat = new Float64Array(items.length).fill(NaN);
  items.forEach(({ where, fields }, i) => {
    for (const [field, values, most] of [
      ['lon', lon, 180],
      ['lat', lat, 90],
    ] as const) {
      const text = fields[field] ?? '';
      if (text.trim() === '') continue;
      const x = degrees(text);
      if (Math.abs(x) <= most) values[i] = x;
      else notes.push({ where: `${where}, ${field}`, what: `"${text}" is not a number of degrees` });
    }
  });
  const { file: _file, row: _row, ...text } = records.text;
  return {
    values: { ...records, lon, lat, text },
    notes: [...notes, ...log.notes().flatMap((n) => named(n, items))],
  };
}

/**
 * A note of the table's reader speaks of a row of a table that nobody sees; it is about the item. Notes of the whole table,
 * and of fields that the item does not give, are none.
 */
function named(note: Note, items: readonly Item[]): Note[] {
  const at = /row (\d+)(?:, (\w+))?/.exec(note.where);
  // The header is row 1.
  const item = at ? items.at(Number(at[1]) - 2) : undefined;
  const field = at?.[2] ?? '';
  if (!item || !item.fields[field]) return [];
  return [{ where: `${item.where}, ${field}`, what: note.what }];
}
