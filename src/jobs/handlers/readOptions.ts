import type { Work } from '../../domain/base/work.ts';
import type { ReadOptions } from '../../io/read/types.ts';
import type { Reading } from '../protocol.ts';

/** What a layer's entry says of how its file is read; an empty text is the same as none. */
export const readOptions = ({ crs, part, mend }: Reading, work: Work): ReadOptions => ({
  ...(crs ? { crs } : {}),
  ...(part ? { part } : {}),
  ...(mend && mend.length > 0 ? { mend } : {}),
  work,
});
