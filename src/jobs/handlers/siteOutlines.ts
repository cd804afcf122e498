/** Polygons of a file, each to be a site. */
import { fail, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Source } from '../../io/source.ts';
import type { Reading, SiteOutline } from '../protocol.ts';

export function siteOutlines(
  source: Source,
  _reading: Reading,
  _work: Work,
): Promise<Result<readonly SiteOutline[]>> {
  return Promise.resolve(fail('content', source.name, 'is not read here yet', ''));
}
