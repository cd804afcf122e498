import { describe, expect, it } from 'vitest';
import { rng } from '../../src/domain/base/rng.ts';
import { judge } from '../../src/domain/vetting/origin/judge.ts';
import { whatWouldSettle } from '../../src/domain/vetting/origin/settle.ts';
import { ORIGIN_VERDICTS } from '../../src/domain/vetting/origin/types.ts';
import { filterWords } from '../../src/ui/ledger/filterWords.ts';
import { rowsInView, speciesInView } from '../../src/ui/ledger/inView.ts';
import { ledgerFilter } from '../../src/ui/ledger/ledgerFilter.svelte.ts';
import {
  keyOf,
  letThrough,
  SAYS,
  saysOf,
  strongest,
  toggled,
  unknownCount,
  type OriginFilter,
  type OriginRows,
} from '../../src/ui/ledger/rowFilter.ts';
import { drawEvidence, drawTable } from '../domain/origin/make.ts';

const SEED = 97;
const N = 300;
const random = rng(SEED);
const table = drawTable(random);
const decided = Uint8Array.from({ length: N }, (_, i) => (i % 20 === 0 ? 2 : i % 20 === 1 ? 1 : 0));
const origin = judge(drawEvidence(random, N, 0.35), table, {
  decided,
  decidedBy: Array.from(decided, (d) => (d ? 'somebody' : '')),
});
const ids = Array.from({ length: N }, (_, i) => `t${i}`);
const all = ids.map((_, i) => i);
const data: OriginRows = {
  origin,
  ids,
  // Those decided as natural by a statement, the others by an inventory.
  stated: new Set(ids.filter((_, i) => decided[i] === 1)),
  hangs: Uint32Array.from({ length: N }, (_, i) => (i % 3 === 0 ? 0b101 : 0)),
};
const through = (...filters: OriginFilter[]): readonly number[] => letThrough(all, filters, data);

describe('filters on origin', () => {
  it('let all through where there are none, as the same array', () => {
    expect(letThrough(all, [], data)).toBe(all);
  });

  it('by verdict share out all trees', () => {
    const parts = ORIGIN_VERDICTS.map((verdict) => through({ kind: 'verdict', verdict }));
    expect(parts.flat().sort((a, b) => a - b)).toEqual(all);
    parts.forEach((rows, v) => rows.forEach((row) => expect(origin.verdict[row]).toBe(v)));
  });

  it('by what a piece says share out all trees, each where its ratio stands', () => {
    for (const e of origin.evidence) {
      const parts = SAYS.map((says) => through({ kind: 'says', piece: e.piece, says }));
      expect(parts.flat().sort((a, b) => a - b)).toEqual(all);
      const [natural, planted, even, unknown] = parts;
      expect(natural.every((row) => e.logRatio[row] > 0)).toBe(true);
      expect(planted.every((row) => e.logRatio[row] < 0)).toBe(true);
      expect(even.every((row) => e.logRatio[row] === 0 && !Number.isNaN(e.value[row]))).toBe(true);
      expect(unknown.every((row) => Number.isNaN(e.value[row]))).toBe(true);
    }
  });

  it('by how it was decided tell a statement from an inventory', () => {
    expect(through({ kind: 'decided', how: 'statement' })).toEqual(all.filter((i) => i % 20 === 1));
    expect(through({ kind: 'decided', how: 'record' })).toEqual(all.filter((i) => i % 20 === 0));
  });

  it('by what is lacking list as many trees as are told to lack it', () => {
    const sources = whatWouldSettle(origin, table, all);
    expect(sources.length).toBeGreaterThan(5);
    for (const { definition, pieces, lacking } of sources)
      expect(through({ kind: 'lacks', definition, pieces })).toHaveLength(lacking);
  });

  it('by what a verdict hangs on let none through until that is worked out', () => {
    const [first, second, third] = origin.evidence.map((e) => e.piece);
    const every3 = all.filter((i) => i % 3 === 0);
    expect(through({ kind: 'hangs', piece: '' })).toEqual(every3);
    expect(through({ kind: 'hangs', piece: first })).toEqual(every3);
    expect(through({ kind: 'hangs', piece: second })).toEqual([]);
    expect(through({ kind: 'hangs', piece: third })).toEqual(every3);
    expect(letThrough(all, [{ kind: 'hangs', piece: '' }], { ...data, hangs: null })).toEqual([]);
  });

  it('combine: a tree has to pass every one, and rows keep their order', () => {
    const piece = origin.evidence[0].piece;
    const backwards = [...all].reverse();
    const filters: OriginFilter[] = [
      { kind: 'says', piece, says: 'planted' },
      { kind: 'themes', n: 4 },
    ];
    const expected = backwards.filter(
      (row) => origin.evidence[0].logRatio[row] < 0 && origin.themes[row] === 4,
    );
    expect(expected.length).toBeGreaterThan(0);
    expect(letThrough(backwards, filters, data)).toEqual(expected);
  });

  it('about a piece that is not among the evidence let none through', () => {
    expect(through({ kind: 'says', piece: 'no such piece', says: 'not known' })).toEqual([]);
    expect(through({ kind: 'hangs', piece: 'no such piece' })).toEqual([]);
  });
});

describe('choosing filters', () => {
  const natural: OriginFilter = { kind: 'verdict', verdict: 'likely natural' };
  const planted: OriginFilter = { kind: 'verdict', verdict: 'likely planted' };
  const near: OriginFilter = { kind: 'says', piece: 'building', says: 'planted' };
  const road: OriginFilter = { kind: 'says', piece: 'road', says: 'planted' };

  it('adds what goes together, replaces what excludes itself in its place, and takes off what is chosen again', () => {
    let on = toggled([], natural);
    on = toggled(on, near);
    on = toggled(on, road);
    expect(on).toEqual([natural, near, road]);
    expect(toggled(on, planted)).toEqual([planted, near, road]);
    expect(toggled(on, { ...near, says: 'natural' })).toEqual([natural, { ...near, says: 'natural' }, road]);
    expect(toggled(on, { ...near })).toEqual([natural, road]);
  });

  it('holds for a workspace, however often the ledger comes and goes, and no longer', () => {
    ledgerFilter.follow(1);
    ledgerFilter.toggle(near);
    ledgerFilter.words = 'ford';
    ledgerFilter.follow(1);
    expect(ledgerFilter.has({ ...near })).toBe(true);
    expect(ledgerFilter.words).toBe('ford');
    ledgerFilter.follow(2);
    expect(ledgerFilter.origin).toEqual([]);
    expect(ledgerFilter.words).toBe('');
  });

  it('has a chip of its own for each', () => {
    const some: OriginFilter[] = [
      natural,
      planted,
      near,
      road,
      { ...near, says: 'not known' },
      { ...near, says: 'even' },
      { kind: 'decided', how: 'statement' },
      { kind: 'decided', how: 'record' },
      { kind: 'themes', n: 1 },
      { kind: 'lacks', definition: 'buildings', pieces: ['building'] },
      { kind: 'lacks', definition: '', pieces: ['notes'] },
      { kind: 'hangs', piece: '' },
      { kind: 'hangs', piece: 'building' },
    ];
    expect(new Set(some.map(keyOf)).size).toBe(some.length);
    expect(new Set(some.map(filterWords)).size).toBe(some.length);
    expect(filterWords(near)).toBe('Speaks for planted: Nearest building');
    expect(filterWords(some[9])).toBe('Not settled, nothing known from: Buildings');
  });
});

describe('columns on the evidence', () => {
  it('name the piece that counts most for a side, none where nothing speaks for it', () => {
    let none = 0;
    for (const row of all) {
      for (const side of ['natural', 'planted'] as const) {
        const speaking = origin.evidence
          .filter((e) => saysOf(e, row) === side)
          .sort((a, b) => Math.abs(b.counted[row]) - Math.abs(a.counted[row]));
        const best = strongest(origin, row, side);
        expect(best?.piece, `seed ${SEED}, row ${row}`).toBe(speaking[0]?.piece);
        if (!best) none++;
      }
      expect(unknownCount(origin, row)).toBe(
        origin.evidence.filter((e) => saysOf(e, row) === 'not known').length,
      );
    }
    expect(none).toBeGreaterThan(0);
  });
});

describe('the trees in view', () => {
  const planting = { species: 'Quercus alba' } as Parameters<typeof speciesInView>[1];
  it('are those of the planting, unless another species or every one is chosen', () => {
    const own = speciesInView('', planting);
    expect(own).not.toBeNull();
    expect(speciesInView('all', planting)).toBeNull();
    expect(speciesInView('3', planting)).toBe(3);
    expect(speciesInView('', null)).toBeNull();
    expect(rowsInView([4, 3, 4], 4)).toEqual([0, 2]);
    expect(rowsInView([4, 3, 4], null)).toEqual([0, 1, 2]);
  });
});
