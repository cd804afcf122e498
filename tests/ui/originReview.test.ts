import { describe, expect, it } from 'vitest';
import { rng } from '../../src/domain/base/rng.ts';
import { judge } from '../../src/domain/vetting/origin/judge.ts';
import { turning } from '../../src/domain/vetting/origin/turning.ts';
import { ORIGIN_VERDICTS } from '../../src/domain/vetting/origin/types.ts';
import { hanging } from '../../src/ui/ledger/hanging.svelte.ts';
import { letThrough, SAYS, type OriginRows } from '../../src/ui/ledger/rowFilter.ts';
import { beyond, hangsOn, reviewOf } from '../../src/ui/origin/review.ts';
import { about, whyLacking } from '../../src/ui/origin/settleWords.ts';
import { inSlices } from '../../src/ui/parts/inSlices.ts';
import { drawEvidence, drawTable } from '../domain/origin/make.ts';

const N = 240;
const random = rng(5);
const table = drawTable(random);
const decided = Uint8Array.from({ length: N }, (_, i) => (i % 12 === 0 ? 1 : i % 12 === 1 ? 2 : 0));
const origin = judge(drawEvidence(random, N, 0.3), table, {
  decided,
  decidedBy: Array.from(decided, (d) => (d ? 'somebody' : '')),
});
const ids = Array.from({ length: N }, (_, i) => `t${i}`);
const data: OriginRows = {
  origin,
  ids,
  stated: new Set(ids.filter((_, i) => decided[i] === 1)),
  hangs: null,
};
const rows = ids.map((_, i) => i).filter((i) => i % 5 !== 0);

describe('the review of origin', () => {
  const review = reviewOf(data, rows);
  it('counts what its numbers list in the ledger', () => {
    const listed = (f: Parameters<typeof letThrough>[1][number]): number =>
      letThrough(rows, [f], data).length;
    expect(review.n).toBe(rows.length);
    expect(review.verdicts).toEqual(ORIGIN_VERDICTS.map((verdict) => listed({ kind: 'verdict', verdict })));
    expect(review.byStatement).toBe(listed({ kind: 'decided', how: 'statement' }));
    expect(review.byRecord).toBe(listed({ kind: 'decided', how: 'record' }));
    expect(review.byStatement * review.byRecord).toBeGreaterThan(0);
    expect(review.themes).toEqual([0, 1, 2, 3, 4, 5, 6].map((n) => listed({ kind: 'themes', n })));
    expect(review.themes.reduce((a, b) => a + b)).toBe(rows.length);
    for (const { piece, says } of review.pieces)
      for (const what of SAYS) expect(says[what]).toBe(listed({ kind: 'says', piece, says: what }));
    const open = rows.filter((i) => decided[i] === 0 && [1, 3].includes(origin.verdict[i]));
    expect(review.open).toBe(open.length);
  });

  it('counts verdicts that hang on a piece once in all, and once for each piece', () => {
    const of = turning(origin, table);
    const bits = Uint32Array.from({ length: N }, (_, i) => of(i));
    const { some, pieces } = hangsOn(origin, bits, rows);
    expect(some).toBe(rows.filter((i) => bits[i] !== 0).length);
    expect(some).toBeGreaterThan(0);
    for (const { piece, n } of pieces)
      expect(n).toBe(letThrough(rows, [{ kind: 'hangs', piece }], { ...data, hangs: bits }).length);
    expect(pieces.map((p) => p.n)).toEqual(pieces.map((p) => p.n).sort((a, b) => b - a));
  });

  it('finds the trees that a layer ends short of', () => {
    const at = { lon: Float64Array.from(ids, (_, i) => i), lat: new Float64Array(N) };
    const { piece } = origin.evidence[0];
    const lacking = letThrough(rows, [{ kind: 'lacks', definition: '', pieces: [piece] }], data);
    const everywhere: [number, number, number, number] = [-180, -90, 400, 90];
    expect(beyond(origin, rows, [piece], at, [everywhere])).toBe(0);
    expect(beyond(origin, rows, [piece], at, [])).toBe(lacking.length);
    expect(
      beyond(origin, rows, [piece], at, [
        [-1, -1, 50, 1],
        [100, -1, 400, 1],
      ]),
    ).toBe(lacking.filter((row) => at.lon[row] > 50 && at.lon[row] < 100).length);
  });
});

describe('work in slices', () => {
  it('goes on between the turns of the screen, and is dropped when it is stopped', async () => {
    const seen: number[] = [];
    function* count(to: number): Generator<null, void> {
      for (let i = 0; i < to; i++) {
        seen.push(i);
        yield null;
      }
    }
    inSlices(count(3));
    expect(seen).toEqual([]);
    await expect.poll(() => seen).toEqual([0, 1, 2]);
    const stop = inSlices(count(5));
    stop();
    await new Promise((go) => setTimeout(go, 30));
    expect(seen).toEqual([0, 1, 2]);
  });

  it('tells what verdicts hang on when all of them are known, and nothing of rows that were not asked for', async () => {
    hanging.want(origin, table, rows, 1);
    expect(hanging.bits).toBeNull();
    await expect.poll(() => hanging.bits).not.toBeNull();
    const of = turning(origin, table);
    const { bits } = hanging;
    for (let i = 0; i < N; i++) expect(bits?.[i]).toBe(rows.includes(i) ? of(i) : 0);
    // Asked again for the same, it stays; for another species it is made anew.
    hanging.want(origin, table, rows, 1);
    expect(hanging.bits).toBe(bits);
    hanging.want(origin, table, [0], null);
    expect(hanging.bits).toBeNull();
    await expect.poll(() => hanging.bits).not.toBeNull();
  });
});

describe('words on what would settle', () => {
  it('never promise a tree that is not one', () => {
    expect([0, 0.2, 0.99, 1, 13.6, 1499.6].map(about)).toEqual([
      '0',
      'less than 1',
      'less than 1',
      'about 1',
      'about 14',
      'about 1,500',
    ]);
  });
  it('tell a layer that is not there from one that ends short and one that says nothing', () => {
    const none = { titles: [], closed: 0 };
    const one = { titles: ['Town footprints'], closed: 0 };
    expect(whyLacking(9, 9, none)).toBe('Not here yet.');
    expect(whyLacking(9, 9, { titles: [], closed: 1 })).toBe('In this workspace, but not open.');
    expect(whyLacking(9, 9, one)).toBe('Town footprints: ends short of all of them.');
    expect(whyLacking(9, 0, one)).toBe('Town footprints: nothing on record at 9 trees.');
    expect(whyLacking(9, 8, one)).toBe('Town footprints: nothing on record at 1 tree, and ends short of 8.');
    expect(whyLacking(2, 1, { titles: ['A', 'B'], closed: 0 })).toBe(
      'A, B: nothing on record at 1 tree, and ends short of 1.',
    );
  });
});
