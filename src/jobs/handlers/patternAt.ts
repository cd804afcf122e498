import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';

export function patternAt(
  _desk: Desk,
  _input: Jobs['pattern']['input'],
  _work: Work,
): Promise<Result<Jobs['pattern']['output']>> {
  return Promise.resolve(ok(null));
}
