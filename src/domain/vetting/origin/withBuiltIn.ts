import type { OriginWeights } from '../../plan/schema.ts';
import { pieces } from './pieces.ts';
import { builtInWeights } from './weights.ts';

/**
 * A table with the built-in weights of those pieces of evidence that it has none for: a table of before a piece came to be.
 *
 * It is never done by itself. A table is a record of what verdicts were given under: one that is not touched gives the same
 * verdicts tomorrow, so a piece that it does not know counts ×1 (weightNotes says so) until its keeper takes this step,
 * which makes a table of another version. Entries that this version of the program has no piece for stay as they are.
 *
 * @returns the table itself where it lacks nothing.
 */
export function withBuiltIn(table: OriginWeights): OriginWeights {
  const has = new Set(table.pieces.map((w) => w.piece));
  const added = pieces.flatMap(({ id }) =>
    has.has(id) ? [] : builtInWeights.pieces.filter((w) => w.piece === id),
  );
  if (added.length === 0) return table;
  return {
    ...table,
    version: `${table.version} with ${builtInWeights.version}`,
    note: [
      table.note,
      `Weights of ${added.map((w) => w.piece).join(', ')} are those of the table "${builtInWeights.version}".`,
    ]
      .filter(Boolean)
      .join(' '),
    pieces: [...table.pieces, ...added],
  };
}
