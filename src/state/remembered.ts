import * as v from 'valibot';
import type { LayerDraft } from './intake.svelte.ts';

const ChoicesSchema = v.object({
  definition: v.optional(v.string()),
  columns: v.optional(v.record(v.string(), v.string())),
  names: v.optional(v.record(v.string(), v.string())),
});

/** Choices kept for the headers of a table; columns that it does not have are left out. null where nothing usable is kept. */
export function remembered(kept: unknown, headers: readonly string[]): Partial<LayerDraft> | null {
  const parsed = v.safeParse(ChoicesSchema, kept);
  if (!parsed.success) return null;
  const { definition, columns, names } = parsed.output;
  const known = Object.entries(columns ?? {}).filter(([, c]) => c === '' || headers.includes(c));
  return {
    ...(definition === undefined ? {} : { definition }),
    ...(known.length > 0 ? { columns: Object.fromEntries(known) } : {}),
    ...(names ? { names } : {}),
  };
}
