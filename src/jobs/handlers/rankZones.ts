/** The match surface summed up by zone. */
import { fail, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';

export function rankZones(
  _desk: Desk,
  _input: Jobs['rankZones']['input'],
  _work: Work,
): Promise<Result<Jobs['rankZones']['output']>> {
  return Promise.resolve(fail('content', 'Match', 'is not computed here yet', ''));
}
