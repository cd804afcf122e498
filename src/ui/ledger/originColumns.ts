/** Columns of the ledger on the evidence: worked out by row when it is drawn, sorted or searched. */
import { PATTERN_VERDICTS } from '../../domain/candidates/pattern/types.ts';
import type { Vetting } from '../../domain/vetting/vetting.ts';
import type { Units } from '../../state/session.svelte.ts';
import { limitWords, number, times } from '../format.ts';
import type { Column } from './columns.ts';
import { pieceTitle, strongest, unknownCount } from './rowFilter.ts';

export function originColumns(v: Vetting, units: Units): Column[] {
  /** Sorted by how much it counts: first the trees that it speaks most of. */
  const side = (title: string, which: 'natural' | 'planted'): Column => ({
    title,
    numeric: false,
    text: (row) => {
      const best = strongest(v.origin, row, which);
      return best
        ? `${limitWords(pieceTitle(best.piece), units)} ${times(Math.exp(Math.abs(best.counted)))}`
        : '';
    },
    key: (row) => -Math.abs(strongest(v.origin, row, which)?.counted ?? NaN),
  });
  const count = (title: string, of: (row: number) => number): Column => ({
    title,
    numeric: true,
    text: (row) => number(of(row)),
    key: of,
  });
  const pattern = (row: number): string => PATTERN_VERDICTS[v.measures.pattern[row]] ?? '';
  return [
    side('Most for planted', 'planted'),
    side('Most for natural', 'natural'),
    count('Not known', (row) => unknownCount(v.origin, row)),
    count('Themes', (row) => v.origin.themes[row]),
    { title: 'Pattern', numeric: false, text: pattern, key: pattern },
  ];
}
