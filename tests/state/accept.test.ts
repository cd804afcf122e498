import { describe, expect, it } from 'vitest';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { addLayers } from '../../src/domain/plan/change.ts';
import { accepted } from '../../src/state/accept.ts';
import type { IntakeItem } from '../../src/state/intake.svelte.ts';
import { remembered } from '../../src/state/remembered.ts';

const item = (name: string, definition: string, beside: string[] = [], more: object = {}): IntakeItem => ({
  id: 1,
  bytes: {
    kind: 'blob',
    name,
    blob: new Blob([name]),
    beside: beside.map((n) => ({ name: n, blob: new Blob([n]) })),
  },
  inspection: null,
  failure: null,
  working: null,
  guesses: null,
  survey: null,
  remembered: false,
  print: { size: 3, sha256: 'c'.repeat(64) },
  instead: null,
  entry: { definition, title: name, band: 1, period: '', source: '', date: '', licence: '', ...more },
});

describe('accepting files', () => {
  it('keeps what stands beside a file under the stem of its path, and writes down size and hash', () => {
    const plan = freshPlan('Empty');
    const { entries, files } = accepted([item('zones.shp', 'zones', ['zones.DBF', 'zones.prj'])], plan, [
      'zones.shp',
    ]);
    expect(files.map((f) => f.path)).toEqual(['zones 2.shp', 'zones 2.DBF', 'zones 2.prj']);
    expect(entries[0]).toMatchObject({ path: 'zones 2.shp', size: 3, sha256: 'c'.repeat(64) });
  });

  it('gives a plan that holds to its schema, choices that were taken back left out', () => {
    const plan = freshPlan('Empty');
    const back = { crs: undefined, columns: undefined, mend: undefined };
    const { entries, variables } = accepted(
      [item('t.tif', 'mean-annual-temperature', [], back), item('t.tif', 'land-cover')],
      plan,
      [],
    );
    expect(variables).toEqual(['mean-annual-temperature']);
    expect(entries.map((e) => e.path)).toEqual(['t.tif', 't 2.tif']);
    expect(Object.keys(entries[0])).not.toContain('crs');
    expect(parsePlan(addLayers(plan, entries, variables).after, 'test')).toMatchObject({ ok: true });
  });
});

describe('which new layers become variables', () => {
  const of = (period: string, definition = 'mean-annual-temperature') =>
    item(`${definition} ${period}.tif`, definition, [], { period });

  it('are those of the earlier period, whatever the order of the files', () => {
    const both = [of('2041-2070'), of('1991-2020'), item('ph.tif', 'soil-ph')];
    const { variables, entries } = accepted(both, freshPlan('Empty'), []);
    expect(variables.map((id) => entries.find((e) => e.id === id)?.period)).toEqual(['1991-2020', '']);
  });

  it('are none that a later period of a climate variable in the plan adds', () => {
    const first = accepted([of('1991-2020')], freshPlan('Empty'), []);
    const plan = addLayers(freshPlan('Empty'), first.entries, first.variables).after;
    const then = accepted([of('2041-2070'), of('2041-2070', 'frost-free-period')], plan, []);
    expect(then.variables).toEqual(['frost-free-period']);
  });
});

describe('what was chosen before', () => {
  it('leaves out columns that a table does not have, and anything that is no choice', () => {
    expect(
      remembered(
        { definition: 'candidates', columns: { lon: 'X', lat: 'gone', id: '' }, names: { a: 'b' } },
        ['X'],
      ),
    ).toEqual({ definition: 'candidates', columns: { lon: 'X', id: '' }, names: { a: 'b' } });
    expect(remembered('nonsense', ['X'])).toBeNull();
    expect(remembered({ columns: { lon: 7 } }, ['X'])).toBeNull();
  });
});
