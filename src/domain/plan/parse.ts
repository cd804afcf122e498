import * as v from 'valibot';
import { fail, ok, type Result } from '../base/result.ts';
import { PLAN_VERSION, PlanSchema, type Plan } from './schema.ts';

/**
 * Checks a value read from a plan file and fills in the defaults.
 * Refuses a newer version, a value outside the schema (naming its path), repeated ids and references to layers that are
 * not in the plan.
 * @param where the file, for the sentence.
 */
export function parsePlan(value: unknown, where: string): Result<Plan> {
  if (typeof value === 'object' && value !== null && 'kinstand' in value) {
    const version = value.kinstand;
    if (typeof version === 'number' && version > PLAN_VERSION) {
      return fail(
        'newer',
        where,
        `was written by a newer version (plan format ${version}, this one reads ${PLAN_VERSION})`,
        'Update Kinstand, then open it again.',
      );
    }
  }
  const parsed = v.safeParse(PlanSchema, value, { abortEarly: false });
  if (!parsed.success) {
    const issue = parsed.issues[0];
    const path = v.getDotPath(issue) ?? 'the top level';
    const more = parsed.issues.length > 1 ? ` (and ${parsed.issues.length - 1} more)` : '';
    return fail(
      'plan',
      where,
      `at ${path}: ${issue.message}${more}`,
      'Correct that entry; plan.schema.json describes each one.',
    );
  }
  const plan = parsed.output;
  const repeated =
    firstRepeated(plan.layers.map((l) => l.id)) ?? firstRepeated(plan.plantings.map((p) => p.id));
  if (repeated !== null)
    return fail(
      'plan',
      where,
      `the id "${repeated}" is used twice`,
      'Give each layer and each planting an id of its own.',
    );
  for (const layer of plan.layers) {
    if ([layer.path, layer.url, layer.from].filter((x) => x !== undefined).length !== 1) {
      return fail(
        'plan',
        where,
        `layer "${layer.id}" needs either a path, a url, or the layer that it is computed from`,
        'Give exactly one of the three.',
      );
    }
  }
  // One that names no layer is let in: its elevation may have been removed, and come back.
  const chained = plan.layers.find((l) => plan.layers.some((g) => g.id === l.from && g.from !== undefined));
  if (chained) {
    return fail(
      'plan',
      where,
      `layer "${chained.id}" is computed from "${chained.from ?? ''}", which is ${chained.from === chained.id ? 'itself' : 'itself computed'}`,
      'Name the elevation layer that has a file.',
    );
  }
  const ids = new Set(plan.layers.map((l) => l.id));
  for (const planting of plan.plantings) {
    const missing = planting.variables.find((id) => !ids.has(id));
    if (missing !== undefined) {
      return fail(
        'plan',
        where,
        `planting "${planting.id}" uses the variable "${missing}", which is not among the layers`,
        'Add the layer or take the variable out.',
      );
    }
  }
  return ok(plan);
}

function firstRepeated(values: readonly string[]): string | null {
  const seen = new Set<string>();
  for (const value of values) {
    if (seen.has(value)) return value;
    seen.add(value);
  }
  return null;
}
