/** `kinstand origin` on a small invented plan that has no layer but its candidates, and no planting. */
import { beforeAll, describe, expect, it } from 'vitest';
import { builtInWeights } from '../../src/domain/vetting/origin/weights.ts';
import { json, kinstand, workFolder } from './run.ts';

const { file } = workFolder('origin');

interface Record {
  id: string;
  odds: number;
  evidence_probability: number;
  probability: number;
  verdict: string;
  decided: string | null;
  decided_by?: string;
  themes: number;
  evidence: { piece: string; word?: string; ratio: number; counted: number; from: unknown }[];
  not_known: string[];
}
interface Document {
  title: string;
  notice: string;
  weights: { version: string; prior: number };
  settings: { link: number };
  notes: string[];
  candidates: Record[];
}

let plan = '';
beforeAll(async () => {
  file(
    'trees.csv',
    [
      'id,lon,lat,species,setting,regeneration,establishmentMeans',
      'a,-82.1,39.1,Quercus alba,woodland,seen,native',
      'b,-82.2,39.2,Quercus alba,street verge,none seen,',
      'c,-82.3,39.3,Quercus rubra,,seen,',
      'd,-82.4,39.4,Quercus rubra,yard,,introduced',
    ].join('\n'),
  );
  plan = file(
    'plan.json',
    JSON.stringify({
      kinstand: 1,
      title: 'Invented trees',
      notice: 'Invented',
      plantings: [
        {
          id: 'reds',
          title: 'Red oaks',
          species: 'Quercus rubra',
          site: { lon: -82, lat: 39 },
          variables: [],
        },
      ],
      layers: [{ id: 'trees', definition: 'candidates', path: 'trees.csv' }],
      statements: [
        { candidate: 'd', origin: 'natural', reason: 'told at the gate', by: 'A. Owner', date: '2025-05-01' },
      ],
    }),
  );
  // The first run builds the command.
  await kinstand('--help');
}, 60_000);

const ratio = (piece: string, word: string): number =>
  builtInWeights.pieces.find((w) => w.piece === piece)?.classes?.[word] ?? NaN;

describe('kinstand origin', () => {
  it('weighs what is on record of every candidate, with no planting asked for', async () => {
    const found = await json<Document>('origin', plan);
    expect(found).toMatchObject({
      title: 'Invented trees',
      notice: 'Invented',
      weights: { version: builtInWeights.version, prior: 1 },
      settings: { link: 60 },
      notes: [],
    });
    const [a, b, c, d] = found.candidates;
    const odds =
      ratio('setting', 'woodland') * ratio('regeneration', 'seen') * ratio('establishmentMeans', 'native');
    expect(a.odds).toBeCloseTo(odds, 4);
    expect(a.probability).toBeCloseTo(odds / (1 + odds), 4);
    expect([a.verdict, a.decided, a.themes]).toEqual(['likely natural', null, 3]);
    expect(a.evidence.map((e) => [e.piece, e.word, e.from])).toEqual([
      ['setting', 'woodland', null],
      ['regeneration', 'seen', null],
      ['establishmentMeans', 'native', null],
    ]);
    expect(a.not_known).toContain('building');
    expect([b.verdict, c.verdict]).toEqual(['likely planted', 'not enough evidence']);
    // Decided by a statement; the evidence says otherwise, and goes on saying so.
    expect([d.verdict, d.decided, d.probability]).toEqual(['likely natural', 'natural', 1]);
    expect(d.evidence_probability).toBeLessThan(0.1);
    expect(d.decided_by).toContain('A. Owner');
  });

  it('takes another table, and only the species of a planting', async () => {
    const weights = file(
      'weights.json',
      JSON.stringify({
        version: 'mine 1',
        prior: 0.5,
        pieces: [{ piece: 'setting', classes: { yard: 0.5 } }],
      }),
    );
    const { code, out, err } = await kinstand(
      'origin',
      plan,
      '--weights',
      weights,
      '--planting',
      'reds',
      '--json',
    );
    expect(code).toBe(0);
    // Said on standard error too, as after every stream.
    expect(err).toMatch(/mine 1: there are no weights for .*building.* they count ×1/);
    const found = JSON.parse(out) as Document;
    expect(found.weights).toEqual({ version: 'mine 1', note: '', prior: 0.5 });
    expect(found.candidates.map((c) => [c.id, c.odds])).toEqual([
      ['c', 0.5],
      ['d', 0.25],
    ]);
    expect(found.notes[0]).toMatch(/there are no weights/);
  });

  it('writes a line of CSV a candidate', async () => {
    const { out } = await kinstand('origin', plan);
    const lines = out.trim().split('\r\n');
    expect(lines).toHaveLength(5);
    const names = lines[0].split(',');
    const cells = lines[2].split(',');
    const cell = (name: string): string => cells[names.indexOf(name)];
    expect(names).toContain('nearest_building_m');
    expect([cell('id'), cell('verdict'), cell('setting'), cell('nearest_building_m')]).toEqual([
      'b',
      'likely planted',
      'street verge',
      '',
    ]);
    expect(Number(cell('setting_ratio'))).toBe(ratio('setting', 'street verge'));
    expect([cell('weights'), cell('notice')]).toEqual([builtInWeights.version, 'Invented']);
  });

  it('refuses a table with a sentence for each fault', async () => {
    const bad = file(
      'bad.json',
      JSON.stringify({ version: 'x', prior: 0, pieces: [{ piece: 'building', steps: [{ ratio: -1 }] }] }),
    );
    const { code, err } = await kinstand('origin', plan, '--weights', bad);
    expect(code).toBe(2);
    expect(err.trim().split('\n')).toEqual([
      expect.stringMatching(/bad\.json: prior is 0\. Give a number above 0/),
      expect.stringMatching(/bad\.json, entry "building", step 1: ratio is -1\. Give a number above 0/),
    ]);
  });
});
