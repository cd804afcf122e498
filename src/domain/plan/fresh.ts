import * as v from 'valibot';
import { belongsTo, besideName } from './beside.ts';
import {
  CandidateEditsSchema,
  EvidenceSettingsSchema,
  PLAN_VERSION,
  PlantingSchema,
  type Plan,
  type Planting,
  type PlanPlace,
} from './schema.ts';

/** A plan with nothing in it but its title. */
export const freshPlan = (title: string): Plan => ({
  kinstand: PLAN_VERSION,
  title,
  notice: '',
  plantings: [],
  layers: [],
  pastWeights: [],
  evidence: v.parse(EvidenceSettingsSchema, {}),
  statements: [],
  candidates: v.parse(CandidateEditsSchema, {}),
  photos: [],
});

/** A planting with the trade's defaults: ten mother trees a quarter mile apart, home or adjacent zone, 150 m of elevation. */
export const freshPlanting = (
  id: string,
  title: string,
  species: string,
  site: PlanPlace,
  variables: string[],
): Planting => v.parse(PlantingSchema, { id, title, species, site, variables });

/** An id that is not taken: "elevation", then "elevation 2" ... */
export function freeId(wanted: string, taken: ReadonlySet<string>): string {
  const base =
    wanted
      .replace(/[^\p{L}\p{N} ._-]+/gu, ' ')
      .trim()
      .slice(0, 70) || 'layer';
  if (!taken.has(base)) return base;
  let n = 2;
  while (taken.has(`${base} ${n}`)) n++;
  return `${base} ${n}`;
}

/** A path that is not taken; the number goes before the extension, by which some formats are known: "trees 2.csv". */
export function freePath(name: string, taken: ReadonlySet<string>): string {
  const extension = /\.[\p{L}\p{N}]{1,12}$/u.exec(name)?.[0] ?? '';
  const stem = name.slice(0, name.length - extension.length);
  const stems = new Set(
    [...taken].filter((p) => p.endsWith(extension)).map((p) => p.slice(0, p.length - extension.length)),
  );
  return freeId(stem, stems) + extension;
}

/**
 * Paths for a file and those that stand beside it, none of them taken. All have one stem, by which they are found again,
 * and no file that is there already stands beside the new one by accident.
 */
export function freePaths(
  name: string,
  beside: readonly string[],
  taken: ReadonlySet<string>,
): { main: string; beside: string[] } {
  const refused = new Set(taken);
  for (;;) {
    const main = freePath(name, refused);
    const sides = beside.map((side) => besideName(side, name, main));
    const free =
      !sides.some((s) => taken.has(s)) &&
      ![...taken].some((t) => belongsTo(t, main) || sides.some((s) => belongsTo(s, t)));
    if (free) return { main, beside: sides };
    refused.add(main);
  }
}
