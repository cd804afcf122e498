/** The table that is edited, without a page. */
import { describe, expect, test } from 'vitest';
import { applyEdits } from '../../src/domain/candidates/hand/edits.ts';
import type { Change } from '../../src/domain/plan/change.ts';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { PlanDocument } from '../../src/state/document.svelte.ts';
import type { Kinstand } from '../../src/state/kinstand.svelte.ts';
import { COLUMNS, TableEditor } from '../../src/ui/ledger/tableEditor.svelte.ts';
import { make } from '../domain/candidates/make.ts';

const base = make([
  { id: 'A', dbh: 55.88, text: { owner: 'Ash' } },
  { id: 'B', text: { owner: 'Birch' } },
  { id: 'C', text: { owner: 'Cedar' } },
]);

function table(ids: readonly string[] = ['C', 'A', 'B']) {
  const document = new PlanDocument();
  document.replace(freshPlan('p'));
  const notes: string[] = [];
  const k = {
    get plan() {
      return document.plan;
    },
    get layers() {
      return { edited: applyEdits(base, document.plan.candidates).candidates };
    },
    session: { units: 'us' },
    readOnly: false,
    apply: (change: Change) => {
      notes.push(change.note);
      document.apply(change);
    },
  };
  const t = new TableEditor(k as unknown as Kinstand, ids);
  const column = (name: string): number => COLUMNS.findIndex((c) => c === name);
  const at = (r: number, name: string): void => t.moveTo({ r, c: column(name) });
  const type = (text: string): boolean => {
    t.begin('');
    t.editing = text;
    return t.commit();
  };
  return { t, k, notes, at, type, column };
}

describe('the edited table', () => {
  test('keeps the order it began with; what is added comes last', () => {
    const { t, at, type, k, notes } = table();
    at(3, 'species');
    expect(type('bur oak')).toBe(true);
    expect(notes).toEqual([]);
    at(3, 'lat');
    type('38.5');
    at(3, 'lon');
    type('-84.5');
    expect(notes).toEqual(['Add H1']);
    expect(t.list).toEqual(['C', 'A', 'B', 'H1']);
    expect(k.plan.candidates.added).toEqual([{ id: 'H1', species: 'bur oak', lat: '38.5', lon: '-84.5' }]);
    expect(t.pending).toEqual({});
  });

  test('keeps a cell in the unit that is shown, and makes no edit of what stays the same', () => {
    const { t, at, type, k, notes } = table();
    at(1, 'dbh');
    expect(t.text(1, 'dbh')).toBe('22 in');
    expect(type('22 in')).toBe(true);
    expect(notes).toEqual([]);
    type('23');
    expect(k.plan.candidates.changed).toEqual({ A: { dbh: '23 in' } });
    expect(t.isByHand(1, 'dbh')).toBe(true);
  });

  test('refuses what it does not understand, an empty place, and another id', () => {
    const { t, at, type, notes } = table();
    at(1, 'dbh');
    expect(type('thick')).toBe(false);
    expect(t.wrong).toMatch(/^Diameter: "thick"/);
    t.leave();
    at(1, 'lat');
    expect(type('')).toBe(false);
    expect(t.wrong).toMatch(/keeps its place/);
    t.leave();
    at(1, 'id');
    expect(t.begin()).toBe(false);
    expect(notes).toEqual([]);
  });

  test('copies what is chosen, from either corner, and empties it in one step', () => {
    const { t, at, column, k, notes } = table();
    at(2, 'owner');
    t.moveTo({ r: 0, c: column('permission') }, true);
    expect(t.copied(false)).toBe('\tCedar\r\n\tAsh\r\n\tBirch');
    expect(t.copied(true).split('\r\n')[0]).toBe('Permission\tOwner');
    t.empty();
    expect(k.plan.candidates.changed).toEqual({ A: { owner: '' }, B: { owner: '' }, C: { owner: '' } });
    expect(notes).toEqual(['Empty cells of 3 candidates']);
  });

  test('one copied cell fills all that is chosen', () => {
    const { t, at, column, k } = table();
    at(0, 'owner');
    t.moveTo({ r: 2, c: column('owner') }, true);
    const planned = t.plan('Elm');
    if (!planned) throw new Error('no plan');
    t.paste(planned);
    expect(Object.values(k.plan.candidates.changed)).toEqual([
      { owner: 'Elm' },
      { owner: 'Elm' },
      { owner: 'Elm' },
    ]);
  });

  test('removes the chosen rows and goes on with the others', () => {
    const { t, at } = table();
    at(0, 'owner');
    t.chooseRows();
    t.removeRows();
    expect(t.list).toEqual(['A', 'B']);
  });
});
