/** The spread of a planting: reference cells, covariance, its check, a sample of cells. */
import { fail, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';

export function spread(
  _desk: Desk,
  _input: Jobs['spread']['input'],
  _work: Work,
): Promise<Result<Jobs['spread']['output']>> {
  return Promise.resolve(fail('content', 'Match', 'is not computed here yet', ''));
}
