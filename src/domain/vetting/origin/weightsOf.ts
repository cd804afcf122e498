import type { OriginWeights, Plan } from '../../plan/schema.ts';
import { builtInWeights } from './weights.ts';

/** The table of weights in use. */
export const weightsOf = (plan: Plan): OriginWeights => plan.originWeights ?? builtInWeights;
