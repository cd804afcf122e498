import { describe, expect, test } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { judge } from '../../../src/domain/vetting/origin/judge.ts';
import { sensitivity } from '../../../src/domain/vetting/origin/sensitivity.ts';
import { bySize, settling, whatWouldSettle } from '../../../src/domain/vetting/origin/settle.ts';
import { turning } from '../../../src/domain/vetting/origin/turning.ts';
import { drawEvidence, drawTable, undecided } from './make.ts';

const SEED = 411;

describe('which verdicts hang on one piece', () => {
  test('is what leaving each piece out tells on the sheet', () => {
    const random = rng(SEED);
    let turned = 0;
    for (let round = 0; round < 6; round++) {
      const n = 40;
      const table = drawTable(random);
      // Few pieces known in some rounds, so that a single one makes the second theme.
      const columns = judge(drawEvidence(random, n, round < 3 ? 0.15 : 0.6), table, undecided(n));
      const of = turning(columns, table);
      for (let row = 0; row < n; row++) {
        const expected = sensitivity(columns, table, row)
          .without.filter((w) => w.turns)
          .map((w) => w.piece);
        const bits = of(row);
        const told = columns.evidence.filter((_, p) => ((bits >>> p) & 1) === 1).map((e) => e.piece);
        expect(told.sort(), `seed ${SEED}, round ${round}, row ${row}`).toEqual(expected.sort());
        turned += told.length;
      }
    }
    expect(turned).toBeGreaterThan(50);
  });

  test('leaves out trees that a decision on record settles', () => {
    const random = rng(SEED);
    const table = drawTable(random);
    const values = drawEvidence(random, 60);
    const free = turning(judge(values, table, undecided(60)), table);
    const rows = Array.from({ length: 60 }, (_, i) => i).filter((row) => free(row) !== 0);
    expect(rows.length).toBeGreaterThan(0);
    const told = judge(values, table, {
      decided: new Uint8Array(60).fill(1),
      decidedBy: new Array<string>(60).fill('natural: told'),
    });
    expect(rows.map(turning(told, table))).toEqual(rows.map(() => 0));
  });

  test('has a bit for every piece that there is', () => {
    expect(drawEvidence(rng(SEED), 1).length).toBeLessThanOrEqual(32);
  });
});

describe('what would settle, worked out in pieces', () => {
  test('is what it is at once, with pauses', () => {
    const random = rng(SEED);
    const n = 1500;
    const table = drawTable(random, 0.5);
    const columns = judge(drawEvidence(random, n, 0.3), table, undecided(n));
    const rows = Array.from({ length: n }, (_, i) => i).filter((i) => i % 7 !== 0);
    const steps = [...settling(columns, table, rows)];
    const sources = steps.filter((s) => s !== null);
    expect(sources.length).toBeGreaterThan(3);
    expect(steps.length).toBeGreaterThan(sources.length);
    expect(bySize(sources)).toEqual(whatWouldSettle(columns, table, rows));
  });
});
