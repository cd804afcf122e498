import { OAKS } from './species.ts';

export interface Suggestion {
  /** Scientific name. */
  readonly name: string;
  readonly common: string;
  /** Letters that differ (insertions, deletions, exchanges, neighbours in each other's place). */
  readonly distance: number;
}

const MOST = 3;

/**
 * Oaks whose scientific or common name is nearly the one written: for a person to choose from, never taken unasked. The number
 * of letters that may differ grows with the name: one for each four, at most three. Nearest first.
 */
export function suggestSpecies(text: string): Suggestion[] {
  const plain = simplify(text);
  if (plain.length < 3) return [];
  const found = OAKS.flatMap((oak) => {
    const names = [oak.name.slice('Quercus '.length), ...oak.synonyms, oak.common, ...oak.alsoCalled];
    const distance = Math.min(
      ...names.map((n) => {
        const other = simplify(n);
        const allowed = Math.min(3, Math.floor(Math.max(other.length, plain.length) / 4));
        const d = Math.abs(other.length - plain.length) > allowed ? Infinity : apart(plain, other);
        return d <= allowed ? d : Infinity;
      }),
    );
    return Number.isFinite(distance) ? [{ name: oak.name, common: oak.common, distance }] : [];
  });
  return found.sort((a, b) => a.distance - b.distance || (a.name < b.name ? -1 : 1)).slice(0, MOST);
}

/** Without genus, the word "oak", authors in brackets, signs and case. */
const simplify = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\([^)]*\)/g, ' ')
    .replace(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replace(/^\s*q(uercus|\.)?[\s.]+/, '')
    .replace(/\boaks?\b|\btrees?\b/g, ' ')
    .replace(/[^a-z]+/g, ' ')
    .trim()
    .slice(0, 60);

/** Letters that differ (Damerau 1964, in the restricted form: no letter is moved twice). */
export function apart(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        row[j] = Math.min(row[j], before[j - 2] + 1);
    }
    before = last;
    last = row;
  }
  return last[b.length];
}
