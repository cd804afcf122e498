/** How the trees of a group stand, in sentences: careful ones, for a pattern is a hint and no proof. */
import { LEAST_ACCURATE } from '../../domain/candidates/pattern/groups.ts';
import { LEAST_TREES, type PatternView } from '../../domain/candidates/pattern/types.ts';
import type { Units } from '../../state/session.svelte.ts';
import { amount, number } from '../format.ts';

type Told = Pick<PatternView, 'n' | 'verdict' | 'rows' | 'windowFrom'>;

/** As for the verdicts (pattern.ts): less likely by chance than this is taken for a pattern. */
const RARE = 0.01;

const ORDER = { 2: 'rows', 4: 'a square grid', 6: 'a triangular grid' } as const;
const EVERY = { 2: '180°', 4: '90°', 6: '60°' } as const;

/** "0.012"; never a zero. */
export const chance = (p: number): string =>
  !Number.isFinite(p) ? '—' : p < 0.001 ? 'under 0.001' : number(p, 3);

/** A few words that are read first. */
export function verdictWords({ verdict, rows, windowFrom }: Told): string {
  if (verdict === 'too few') return 'too few trees';
  if (windowFrom === 'line')
    return verdict === 'regular' ? 'regular: evenly spaced along a line' : `along a line, ${verdict} there`;
  if (verdict !== 'regular') return verdict;
  return rows && rows.p < RARE ? `regular: ${ORDER[rows.order]}` : 'regular: evenly spaced';
}

/** What the verdict may mean for the origin. */
export function meaning({ verdict, windowFrom }: Told): string {
  if (windowFrom === 'line' && verdict !== 'regular' && verdict !== 'too few')
    return 'A stream or a fence lines up trees that sow themselves as well: the line alone says little.';
  switch (verdict) {
    case 'regular':
      return 'Looks planted: trees that sow themselves seldom stand so evenly.';
    case 'clustered':
      return 'In clumps, as trees that sow themselves often stand; planted clumps do too.';
    case 'random':
      return 'Nothing in how they stand speaks for planting, nor rules it out.';
    case 'too few':
      return '';
  }
}

/** The one sentence for a group that tells nothing. */
export function tooFew(n: number, stand: string): string {
  const where = stand === '' ? 'near one another here' : `in ${stand}`;
  // As many records may stand at fewer places.
  return n < LEAST_TREES
    ? `${number(n)} trees of its species are on record ${where}: too few to tell how they stand (${LEAST_TREES} are needed).`
    : `The ${number(n)} trees of its species on record ${where} stand at too few different places to tell how.`;
}

/** Why a candidate belongs to no group. @param accuracy metres; NaN not recorded. */
export function noGroup(isStand: boolean, accuracy: number, units: Units): string {
  if (isStand) return 'It is a stand on record as one candidate: nothing tells how its trees stand.';
  if (accuracy > LEAST_ACCURATE)
    return `Its position is good to ${amount(accuracy, 'length', units)} only: too uncertain to tell how it stands to others.`;
  return `No other tree of its species is on record near it: too few to tell how they stand (${LEAST_TREES} are needed).`;
}

/** The test of directions. */
export function rowWords({ rows, windowFrom }: Told): string {
  if (!rows) return '';
  if (windowFrom === 'line')
    return `They stand along one line, so the directions are the line’s. Its gaps are ${
      rows.p < RARE ? 'more even than chance leaves them' : 'no more even than chance may leave them'
    } (p ${chance(rows.p)}).`;
  const figures = `strength ${number(rows.strength, 2)} of 1, p ${chance(rows.p)}`;
  return rows.p < RARE
    ? `Directions repeat every ${EVERY[rows.order]}: ${ORDER[rows.order]} (${figures}).`
    : `Directions to the nearest trees keep to no rows or grid (at most every ${EVERY[rows.order]}: ${figures}).`;
}

/** The nearest distances. */
export function nearestWords(v: Pick<PatternView, 'meanNearest' | 'plain'>, units: Units): string {
  const { meanNearest, plain } = v;
  const than = plain.R > 1 ? 'farther apart' : 'nearer to one another';
  return (
    `The nearest tree is ${amount(meanNearest, 'length', units)} away on average; by chance it would be ` +
    `${amount(plain.expected, 'length', units)}. R ${number(plain.R, 2)}: ${
      Math.abs(plain.R - 1) < 0.05 ? 'as by chance' : `${than} than by chance`
    } (1 random, under 1 clustered, 2 a square grid).`
  );
}

/** The ground within which trees could have stood. */
export function windowWords(v: Pick<PatternView, 'windowFrom' | 'stand' | 'link'>, units: Units): string {
  const group = v.stand
    ? `The trees of ${v.stand}`
    : `Trees of its species, each within ${amount(v.link, 'length', units)} of another`;
  const ground = {
    given: 'the outline of the stand',
    hull: 'drawn about the trees, as no outline is on record; a pattern may come out less clear',
    line: 'a band drawn along the line of the trees, as no outline is on record',
  } as const;
  return `${group}. Ground: ${ground[v.windowFrom]}.`;
}

/** Diameters, which are much alike where all were planted at once. */
export function diameterWords(v: Pick<PatternView, 'diameters' | 'n'>, units: Units): string {
  const { known, mean, spread } = v.diameters;
  if (known === 0) return 'No diameter is on record.';
  const of = known === v.n ? `of all ${number(known)}` : `of ${number(known)} of ${number(v.n)}`;
  const size = `Diameters ${of}: mean ${amount(mean, 'diameter', units, units === 'us' ? 1 : 0)}`;
  return Number.isFinite(spread)
    ? `${size}, coefficient of variation ${number(100 * spread)} %.`
    : `${size}.`;
}
