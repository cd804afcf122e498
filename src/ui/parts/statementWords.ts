import type { Statement } from '../../domain/plan/schema.ts';

/** How a statement on the origin of a tree is known. */
export const HOW_WORDS: Readonly<Record<NonNullable<Statement['how']>, string>> = {
  told: 'told by somebody who knows',
  scouted: 'seen at the tree while scouting',
  records: 'found in records',
};

/** "natural, seen at the tree while scouting: “stump sprouts all round”. J. Example, 2026-11-30" */
export const statementWords = ({ origin, reason, by, date, how = 'told' }: Statement): string =>
  `${origin}, ${HOW_WORDS[how]}: “${reason}”${[by, date].some(Boolean) ? `. ${[by, date].filter(Boolean).join(', ')}` : ''}`;

/** What a stop says of its origin. @param own statements on it, the latest last: that one decides. */
export function originLine(own: readonly Statement[]): string {
  const last = own.at(-1);
  if (!last) return 'Origin as seen: not recorded';
  return `${last.how === 'scouted' ? 'Origin as seen' : 'Origin on record'}: ${last.origin}`;
}
