import type { Area } from '../base/geo.ts';
import { areaShapes, nearest } from '../layers/nearest.ts';
import { resolveSpecies } from '../species/species.ts';
import type { Candidates } from './candidates.ts';

/** Attributes that may name the species of a range polygon, best first (the first two are Darwin Core terms). */
const FIELDS = ['scientificname', 'species', 'binomial', 'taxon', 'sci_name', 'name'];

/** Species of an area of a range layer: index, -1 named but not recognised, null not named at all. */
function speciesOf(area: Area): number | null {
  for (const field of FIELDS) {
    const key = Object.keys(area.attributes).find((k) => k.toLowerCase() === field);
    const text = key === undefined ? null : area.attributes[key];
    if (typeof text === 'string' && text.trim() !== '') return resolveSpecies(text).species;
  }
  return null;
}

/** The areas that are the native range of a species: those that name it, and those that name none. */
export function rangesOf(areas: readonly Area[], species: number): Area[] {
  return areas.filter((area) => {
    const named = speciesOf(area);
    return named === species || named === null;
  });
}

/**
 * Metres by which each candidate stands outside the native range of its own species, 0 inside. Polygons that name no
 * species count for every one; NaN for a species without a polygon and for a candidate without a recognised species.
 */
export function rangeDistance(areas: readonly Area[], candidates: Candidates): Float64Array {
  const { n, lon, lat, species } = candidates;
  const out = new Float64Array(n).fill(NaN);
  for (const s of new Set(species)) {
    if (s < 0) continue;
    const own = rangesOf(areas, s);
    if (own.length === 0) continue;
    const rows = Int32Array.from(species.keys()).filter((i) => species[i] === s);
    const { metres } = nearest(
      areaShapes(own),
      Float64Array.from(rows, (i) => lon[i]),
      Float64Array.from(rows, (i) => lat[i]),
    );
    rows.forEach((row, i) => {
      out[row] = metres[i];
    });
  }
  return out;
}
