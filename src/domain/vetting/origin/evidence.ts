import type { OriginInput } from './piece.ts';
import { pieces } from './pieces.ts';
import type { EvidenceValues } from './types.ts';

/** What every piece of evidence says of every candidate, before any weight. In the order of `pieces`. */
export const evidenceOf = (input: OriginInput): EvidenceValues[] =>
  pieces.map((piece) => ({
    piece: piece.id,
    value: piece.measure(input),
    words: piece.words,
    ...(piece.idle ? { idle: piece.idle(input) } : {}),
  }));
