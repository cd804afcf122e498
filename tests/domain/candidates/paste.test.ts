import { describe, expect, test } from 'vitest';
import { EDIT_FIELDS, fieldText } from '../../../src/domain/candidates/hand/editFields.ts';
import { planPaste, type PasteColumn, type PasteTarget } from '../../../src/domain/candidates/hand/paste.ts';
import { make } from './make.ts';

const c = make([
  { id: 'A', dbh: 50, text: { owner: 'Ash' } },
  { id: 'B', dbh: 60, text: { owner: 'Birch' } },
  { id: 'C' },
]);
const target = (from: PasteColumn, ids: readonly string[]): PasteTarget => {
  const all: PasteColumn[] = ['id', ...EDIT_FIELDS];
  return {
    columns: all.slice(all.indexOf(from)),
    ids,
    taken: new Set(c.id),
    newIds: (n) => Array.from({ length: n }, (_, i) => `H${i + 1}`),
    shown: (row, field) => fieldText(c, row, field),
    withUnit: (field, text) => (field === 'dbh' && /^\d+$/.test(text) ? `${text} in` : text),
  };
};
const plan = (text: string, from: PasteColumn, ids: readonly string[]) =>
  planPaste(
    c,
    text.split('\n').map((line) => line.split('\t')),
    target(from, ids),
  );

describe('a paste without names of columns', () => {
  test('goes to the cells from where it begins, in the units of the table', () => {
    const p = plan('22\n24', 'dbh', ['A', 'B', 'C']);
    expect(p.header).toBe(false);
    expect(p.changes).toEqual([
      { id: 'A', fields: { dbh: '22 in' } },
      { id: 'B', fields: { dbh: '24 in' } },
    ]);
    expect([p.added, p.notes]).toEqual([[], []]);
  });

  test('empties cells that are copied empty, and leaves out what stays the same', () => {
    const p = plan('\nBirch', 'owner', ['A', 'B']);
    expect(p.changes).toEqual([{ id: 'A', fields: { owner: '' } }]);
  });

  test('adds candidates past the last row, with an id of their own or the one copied', () => {
    const p = plan(
      'C\tpin oak\t\t38.1\t-84.1\nN7\tbur oak\t\t38.2\t-84.2\n\tbur oak\t\t38.3\t-84.3',
      'id',
      [],
    );
    expect(p.added).toEqual([
      { id: 'H1', species: 'pin oak', lat: '38.1', lon: '-84.1' },
      { id: 'N7', species: 'bur oak', lat: '38.2', lon: '-84.2' },
      { id: 'H3', species: 'bur oak', lat: '38.3', lon: '-84.3' },
    ]);
    expect(p.notes.map((n) => n.what)).toEqual(['"C" is there already; called "H1"']);
  });

  test('does not add a tree without a place, nor take one away', () => {
    const p = plan('\t\nsomewhere\t-84.9\n', 'lat', ['A']);
    expect(p.changes).toEqual([]);
    expect(p.added).toEqual([]);
    const said = p.notes.map((n) => `${n.where}: ${n.what}`).join('\n');
    expect(said).toMatch(/A, lat: is empty; the tree keeps its place/);
    expect(said).toMatch(/Row 2 of the copied rows: has no position/);
  });

  test('notes values that are not understood, and cells past the last column', () => {
    const p = plan('thick\t9', 'dbh', ['A']);
    expect(p.changes).toEqual([]);
    expect(p.notes.map((n) => n.where)).toEqual(expect.arrayContaining(['A, dbh', 'A, form']));
    expect(plan('x\ty', 'notes', ['A']).notes[0].what).toMatch(/past the last column/);
  });
});

describe('a paste with names of columns', () => {
  test('finds candidates by id wherever it begins; empty cells leave what is there', () => {
    const p = plan('Tree ID\tDBH (in)\tOwner\nB\t20\t\nZ\t\tElm', 'notes', ['C']);
    expect(p.header).toBe(true);
    expect(p.columns).toEqual(['id', 'dbh', 'owner']);
    expect(p.changes).toEqual([{ id: 'B', fields: { dbh: '20 in' } }]);
    expect(p.notes.map((n) => n.what)).toEqual(['has no position, which a new candidate needs; left out']);
  });

  test('takes positions from one column or two, with the letter of the name', () => {
    const one = plan('id\tcoordinates\nZ\t38.25, -84.5', 'id', []);
    expect(one.added).toEqual([{ id: 'Z', lat: '38.25', lon: '-84.5' }]);
    const two = plan('id\tLatitude\tLongitude W\nZ\t38.25\t84.5', 'id', []);
    expect(two.added).toEqual([{ id: 'Z', lat: '38.25', lon: '-84.5' }]);
  });

  test('two rows for one candidate: the first counts, the other is noted', () => {
    const p = plan('id\towner\nA\tx\nA\ty', 'id', []);
    expect(p.changes).toEqual([{ id: 'A', fields: { owner: 'x' } }]);
    expect(p.notes[0].what).toMatch(/as an earlier row is/);
  });

  test('a row of trees is not taken for names', () => {
    expect(plan('A-12\twhite oak\nA-13\tbur oak', 'id', []).header).toBe(false);
  });
});
