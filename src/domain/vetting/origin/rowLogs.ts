import type { EvidenceColumn } from './types.ts';

/** Natural log of the ratio of each piece at one row, before the discount; NaN where it is not known. */
export const rowLogs = (evidence: readonly EvidenceColumn[], row: number): Float64Array =>
  Float64Array.from(evidence, (e) => (Number.isNaN(e.value[row]) ? NaN : e.logRatio[row]));
