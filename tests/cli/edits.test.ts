/** What was done by hand in a plan holds for the command as it does on screen. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Papa from 'papaparse';
import { afterAll, expect, test } from 'vitest';
import { run } from '../../src/cli/verbs/run.ts';

const dir = mkdtempSync(join(tmpdir(), 'edits-'));
afterAll(() => rmSync(dir, { recursive: true }));

const CSV = `id,species,lon,lat,accuracy,dbh_cm
A,white oak,-84.50,38.0,5,50
B,white oak,-84.50002,38.0,5,51
C,white oak,-84.52,38.0,5,60
D,bur oak,-84.53,38.0,5,60
`;
const plan = (candidates: unknown) => ({
  kinstand: 1,
  title: 'Edits',
  plantings: [
    {
      id: 'p',
      title: 'P',
      species: 'Quercus alba',
      site: { lon: -84.4, lat: 38 },
      variables: [],
      rules: {
        zone: { strength: 'off', adjacent: true, cornerCounts: false, snap: 30 },
        match: { strength: 'off', least: 0.05 },
        origin: { strength: 'off', least: 'likely natural' },
        elevation: { strength: 'off', lower: 150, higher: 150 },
      },
      parents: { count: 3, spacing: 402.336, match: 0, origin: 0, quality: 0 },
    },
  ],
  layers: [{ id: 'c', definition: 'candidates', path: 'c.csv' }],
  candidates,
});

interface Report {
  candidates: { count: number; notes: string[] };
  plantings: Array<{ parent_set: { members: string[] }; scouting: { order: string[] } }>;
}
async function ran(candidates: unknown): Promise<{ report: Report; rows: Array<Record<string, string>> }> {
  writeFileSync(join(dir, 'c.csv'), CSV);
  writeFileSync(join(dir, 'plan.json'), JSON.stringify(plan(candidates)));
  const out = join(dir, 'out');
  const result = await run.run([join(dir, 'plan.json'), '--out', out], {});
  if (!result.ok) throw new Error(`${result.failure.where} ${result.failure.what}`);
  const table = readFileSync(join(out, 'vetting.csv'), 'utf8');
  return {
    report: result.value.json as Report,
    rows: Papa.parse<Record<string, string>>(table, { header: true, skipEmptyLines: true }).data,
  };
}

test('vetting, parent set, route and files are those of the candidates as edited', async () => {
  const before = await ran({});
  // B repeats A: of the white oaks only A and C can be had.
  expect([...before.report.plantings[0].parent_set.members].sort()).toEqual(['A', 'C']);
  const { report, rows } = await ran({
    merged: [{ keep: 'B', repeats: ['A'] }],
    changed: { D: { species: 'white oak' } },
    removed: ['C', 'Z'],
    added: [{ id: 'H1', lat: "N 38° 0.6'", lon: '84.41 W', species: 'Q. alba', accuracy: '16 ft' }],
  });
  expect(rows.map((r) => r['id'])).toEqual(['B', 'D', 'H1']);
  expect(rows[0]['other_records']).toBe('A (c.csv, row 2)');
  expect([rows[2]['lat'], rows[2]['lon']]).toEqual(['38.01', '-84.41']);
  expect(report.candidates.count).toBe(3);
  expect(report.candidates.notes.join('\n')).toMatch(
    /Z: was removed by hand, but is not among the candidates/,
  );
  expect([...report.plantings[0].parent_set.members].sort()).toEqual(['B', 'D', 'H1']);
  expect([...report.plantings[0].scouting.order].sort()).toEqual(['B', 'D', 'H1']);
});
