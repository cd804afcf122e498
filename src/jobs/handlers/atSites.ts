/** The sites' values of a planting's variables. */
import { fail, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';

export function atSites(
  _desk: Desk,
  _input: Jobs['atSites']['input'],
  _work: Work,
): Promise<Result<Jobs['atSites']['output']>> {
  return Promise.resolve(fail('content', 'Match', 'is not computed here yet', ''));
}
