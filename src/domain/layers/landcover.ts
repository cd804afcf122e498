/**
 * Kinds of ground by land-cover code, for the evidence of origin. Codes of the National Land Cover Database (USGS; editions
 * from 2001 on). Woody wetlands (90) count as forest: bottomland oaks stand there. Class 21 (developed, open space) counts
 * as developed; it also follows country roads and lies beside old field edges, so its evidence is kept weak.
 */
export const GROUNDS = [
  'water',
  'developed open',
  'developed',
  'barren',
  'forest',
  'open',
  'pasture',
  'crop',
  'wetland',
] as const;
export type Ground = (typeof GROUNDS)[number];

const BY_CODE: Readonly<Record<number, Ground>> = {
  11: 'water',
  12: 'barren',
  21: 'developed open',
  22: 'developed',
  23: 'developed',
  24: 'developed',
  31: 'barren',
  41: 'forest',
  42: 'forest',
  43: 'forest',
  51: 'open',
  52: 'open',
  71: 'open',
  72: 'open',
  73: 'open',
  74: 'open',
  81: 'pasture',
  82: 'crop',
  90: 'forest',
  95: 'wetland',
};

/** Kind of ground of a land-cover code; null for a code that the legend does not have (0 and 255 are usual nodata). */
export const groundOf = (code: number): Ground | null => BY_CODE[code] ?? null;

/** Index into GROUNDS by code 0-255; 255 for codes without a kind. Handed to the raster's counting of cells by class. */
export function groundTable(): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, code) => {
    const ground = groundOf(code);
    return ground === null ? 255 : GROUNDS.indexOf(ground);
  });
}

/**
 * Shares of developed and of forest land from counts of cells by kind of ground (row-major n x GROUNDS.length).
 * NaN where no cell was counted.
 */
export function groundShares(counts: Uint32Array): { developed: Float64Array; forest: Float64Array } {
  const k = GROUNDS.length;
  const n = counts.length / k;
  const developed = new Float64Array(n).fill(NaN);
  const forest = new Float64Array(n).fill(NaN);
  const [open, built, woods] = [
    GROUNDS.indexOf('developed open'),
    GROUNDS.indexOf('developed'),
    GROUNDS.indexOf('forest'),
  ];
  for (let i = 0; i < n; i++) {
    let total = 0;
    for (let c = 0; c < k; c++) total += counts[i * k + c];
    if (total === 0) continue;
    developed[i] = (counts[i * k + open] + counts[i * k + built]) / total;
    forest[i] = counts[i * k + woods] / total;
  }
  return { developed, forest };
}
