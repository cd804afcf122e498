import { toJsonSchema } from '@valibot/to-json-schema';
import { PlanSchema } from '../domain/plan/schema.ts';

/** The plan's schema as JSON Schema (draft 2020-12): what a plan file may hold, before defaults are filled in. */
export function planJsonSchema(): Record<string, unknown> {
  // Trimming a text has no place in a schema; what is checked after it (its least length) is kept.
  const schema = toJsonSchema(PlanSchema, { target: 'draft-2020-12', typeMode: 'input', ignoreActions: ['trim'] });
  return { ...schema, title: 'Kinstand plan file', $id: 'https://kinstand.invalid/plan.schema.json' };
}
