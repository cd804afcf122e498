/** The match of every cell, as a GeoTIFF. */
import { fail, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';

export function surface(
  _desk: Desk,
  _input: Jobs['surface']['input'],
  _work: Work,
): Promise<Result<Jobs['surface']['output']>> {
  return Promise.resolve(fail('content', 'Match', 'is not computed here yet', ''));
}
