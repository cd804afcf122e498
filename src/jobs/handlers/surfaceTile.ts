/** Tiles of the match surface for the map. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';

export function surfaceTile(
  _desk: Desk,
  _input: Jobs['surfaceTile']['input'],
): Promise<Result<Jobs['surfaceTile']['output']>> {
  return Promise.resolve(ok(null));
}
