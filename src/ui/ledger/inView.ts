/** Which candidates ledger and counts are about, before any other filter. */
import { resolveSpecies } from '../../domain/species/species.ts';
import type { Planting } from '../../domain/plan/schema.ts';

/** Index of the species looked at; null for every one. @param chosen as ledgerFilter.species has it. */
export function speciesInView(chosen: string, planting: Planting | null): number | null {
  if (chosen === 'all') return null;
  if (chosen !== '') return Number(chosen);
  return planting ? resolveSpecies(planting.species).species : null;
}

/** Rows of that species, in their order. */
export function rowsInView(species: ArrayLike<number>, wanted: number | null): number[] {
  const rows: number[] = [];
  for (let i = 0; i < species.length; i++) if (wanted === null || species[i] === wanted) rows.push(i);
  return rows;
}
