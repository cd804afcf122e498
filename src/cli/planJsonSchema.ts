import { toJsonSchema } from '@valibot/to-json-schema';
import { PlanSchema } from '../domain/plan/schema.ts';

/** The plan's schema as JSON Schema (draft 2020-12): what a plan file may hold, before defaults are filled in. */
export function planJsonSchema(): Record<string, unknown> {
  // JSON holds no infinite number, and trimming is no property of a value; the least length after it is kept.
  const schema = toJsonSchema(PlanSchema, {
    target: 'draft-2020-12',
    typeMode: 'input',
    ignoreActions: ['trim', 'finite'],
  });
  return { ...schema, title: 'Kinstand plan file', $id: 'https://kinstand.invalid/plan.schema.json' };
}
