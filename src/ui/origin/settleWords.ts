/** What more evidence could do, in careful words. */
import { number } from '../format.ts';

/** An expected count: "about 14", "less than 1", "0". */
export function about(expected: number): string {
  if (expected === 0) return '0';
  return expected < 1 ? 'less than 1' : `about ${number(Math.round(expected))}`;
}

export interface Brought {
  /** Titles of the open layers of the kind. */
  readonly titles: readonly string[];
  /** How many of the kind are in the plan and not open. */
  readonly closed: number;
}

const trees = (n: number): string => (n === 1 ? '1 tree' : `${number(n)} trees`);

/**
 * Why trees lack what a layer would tell: it is not there, it ends short of them, or it says nothing where they stand.
 * @param outside of those lacking, how many the open layers do not reach.
 */
export function whyLacking(lacking: number, outside: number, { titles, closed }: Brought): string {
  if (titles.length === 0) return closed > 0 ? 'In this workspace, but not open.' : 'Not here yet.';
  const name = titles.join(', ');
  if (outside === lacking) return `${name}: ends short of ${lacking === 1 ? 'this tree' : 'all of them'}.`;
  const inside = `${name}: nothing on record at ${trees(lacking - outside)}`;
  return outside === 0 ? `${inside}.` : `${inside}, and ends short of ${number(outside)}.`;
}
