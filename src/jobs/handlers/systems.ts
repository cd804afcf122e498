import { ok, type Result } from '../../domain/base/result.ts';
import { guessCrs } from '../../io/crs/guessCrs.ts';
import type { Jobs } from '../protocol.ts';

/** Coordinate systems that would fit a file that does not say its own. */
export const systems = async (input: Jobs['systems']['input']): Promise<Result<Jobs['systems']['output']>> =>
  ok(await guessCrs(input.coordinates, input.near));
