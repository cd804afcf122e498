import type { OriginWeights, Statement } from '../../plan/schema.ts';
import { decisions } from './decisions.ts';
import { evidenceOf } from './evidence.ts';
import { judge } from './judge.ts';
import type { OriginInput } from './piece.ts';
import type { OriginColumns } from './types.ts';

/** Evidence measured, weighed and decided: the origin of every candidate. */
export const origin = (
  input: OriginInput,
  table: OriginWeights,
  statements: readonly Statement[],
): OriginColumns =>
  judge(evidenceOf(input), table, decisions(input.candidates.id, statements, input.measures.plantedOnRecord));
