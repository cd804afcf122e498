/** One of the several things in a file: which was asked for, which is there. */
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Part } from './types.ts';

/**
 * The part that is asked for, else the first with content. What else the file holds is noted, so that nobody takes the part
 * for the whole.
 * @param parts those with content, in the order in which they are offered; not empty.
 */
export function choosePart<P extends Part>(
  parts: readonly P[],
  wanted: string | undefined,
  file: string,
): Result<{ readonly part: P; readonly notes: readonly Note[] }> {
  const part = wanted === undefined ? parts[0] : parts.find((p) => p.name === wanted);
  if (!part)
    return fail(
      'content',
      file,
      `holds no "${wanted ?? ''}"`,
      `Choose one of: ${parts.map((p) => p.name).join(', ')}.`,
    );
  const others = parts.filter((p) => p !== part);
  const counted = (p: Part): string =>
    p.count === null ? `"${p.name}"` : `"${p.name}" (${p.count.toLocaleString('en-US')})`;
  const notes =
    wanted === undefined && others.length > 0
      ? [
          {
            where: file,
            what: `"${part.name}" was read; the file also holds ${others.map(counted).join(', ')}`,
          },
        ]
      : [];
  return ok({ part, notes });
}
