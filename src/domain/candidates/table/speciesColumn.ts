/** The species of each row, from the columns that name it. */
import type { Table } from '../../base/table.ts';
import { resolveSpecies, type ResolvedSpecies } from '../../species/species.ts';
import { suggestSpecies, type Suggestion } from '../../species/suggest.ts';
import type { Columns } from './columns.ts';
import type { Field } from './fields.ts';

/** A name that is not known, for the user to settle. */
export interface UnsettledName {
  /** As written in the table. */
  readonly name: string;
  readonly rows: number;
  /** Why it is not known, in words. */
  readonly why: string;
  readonly suggestions: readonly Suggestion[];
}

export interface SpeciesOfRow {
  /** The name as written. */
  readonly text: string;
  readonly resolved: ResolvedSpecies;
  /** True where a person has to say what the name means: not known, not settled before, and not doubted by the record itself. */
  readonly unsettled: boolean;
}

const FIELDS: readonly Field[] = ['species', 'commonName', 'genus', 'epithet', 'infraspecific', 'qualifier'];

export const hasSpecies = ({ at }: Columns): boolean =>
  at.species !== undefined || at.commonName !== undefined || at.epithet !== undefined;

/**
 * Reads the species of a row: the scientific name (or genus, epithet and variety), else the common name. `names` (as written ->
 * scientific name, "" = unknown) stands before everything. A qualifier ("cf.", "aff.") leaves the species unknown.
 */
export function speciesReader(
  table: Table,
  { at }: Columns,
  names: Readonly<Record<string, string>> = {},
): (row: number) => SpeciesOfRow {
  const used = FIELDS.filter((f) => at[f] !== undefined);
  const memo = new Map<string, SpeciesOfRow>();
  const settled = new Map(Object.entries(names).map(([name, meant]) => [name.trim(), meant]));
  const cell = (row: number, field: Field): string => {
    const column = at[field];
    return column === undefined ? '' : table.cell(row, column).trim();
  };
  return (row) => {
    let key = '';
    for (const field of used) key += `${cell(row, field)}\u0000`;
    const known = memo.get(key);
    if (known) return known;
    const found = speciesOf((field) => cell(row, field), settled);
    // Columns that never repeat (a note under "species") are not worth remembering without end.
    if (memo.size < 100_000) memo.set(key, found);
    return found;
  };
}

function speciesOf(cell: (field: Field) => string, settled: ReadonlyMap<string, string>): SpeciesOfRow {
  const parts = [cell('genus'), cell('epithet'), cell('infraspecific')];
  const rank = parts[2] === '' || /^(var|subsp|ssp|f)\b/.test(parts[2]) ? '' : 'var. ';
  const built = parts[1] === '' ? '' : `${parts[0]} ${parts[1]} ${rank}${parts[2]}`.trim();
  const scientific = cell('species') || built;
  const common = cell('commonName');
  for (const text of [scientific, common]) {
    const meant = text === '' ? undefined : settled.get(text);
    if (meant === undefined) continue;
    const resolved: ResolvedSpecies =
      meant === '' ? { species: -1, hybrid: -1, note: '' } : resolveSpecies(meant);
    return { text, resolved, unsettled: false };
  }
  const qualifier = cell('qualifier');
  const first = resolveSpecies(scientific);
  const second = common === '' || first.species >= 0 ? null : resolveSpecies(common);
  const byCommon = second !== null && (scientific === '' || second.species >= 0);
  const text = byCommon ? scientific || common : scientific;
  const resolved = byCommon ? second : first;
  if (resolved.species >= 0 && /\b(cf|aff|nr|near|prob|poss)\b|\?/i.test(qualifier)) {
    const note = `"${text}" is qualified by "${qualifier}": identification in doubt`;
    return { text, resolved: { species: -1, hybrid: -1, note }, unsettled: false };
  }
  return { text, resolved, unsettled: resolved.species < 0 && text !== '' };
}

/** Collects the names that have to be settled while rows are read. */
export class Unsettled {
  readonly #rows = new Map<string, { rows: number; why: string }>();

  add({ text, resolved, unsettled }: SpeciesOfRow): void {
    if (!unsettled) return;
    const known = this.#rows.get(text);
    if (known) known.rows++;
    else this.#rows.set(text, { rows: 1, why: resolved.note });
  }

  /** The most frequent first; at most `most` of them. */
  list(most = 500): UnsettledName[] {
    return [...this.#rows]
      .sort((a, b) => b[1].rows - a[1].rows || (a[0] < b[0] ? -1 : 1))
      .slice(0, most)
      .map(([name, { rows, why }]) => ({ name, rows, why, suggestions: suggestSpecies(name) }));
  }
}
