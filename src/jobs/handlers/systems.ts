import { ok, type Result } from '../../domain/base/result.ts';
import type { Jobs } from '../protocol.ts';

export function systems(_input: Jobs['systems']['input']): Result<Jobs['systems']['output']> {
  return ok([]);
}
