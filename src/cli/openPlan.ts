/** Opens a plan file for a verb: the plan, the plantings that were asked for, its layers on a desk. */
import { dirname, join, resolve } from 'node:path';
import { fail, ok, type Result } from '../domain/base/result.ts';
import type { Work } from '../domain/base/work.ts';
import { groundOf, isComputed, openingOrder, withGrounds } from '../domain/plan/computed.ts';
import { parsePlan } from '../domain/plan/parse.ts';
import type { LayerEntry, Plan, Planting } from '../domain/plan/schema.ts';
import { urlSource } from '../io/source/url.ts';
import { createDesk, type Desk, type OpenLayer } from '../jobs/handlers/desk.ts';
import { openLayer } from '../jobs/handlers/open.ts';
import { openComputed } from '../jobs/handlers/openComputed.ts';
import { pathSource } from './pathSource.ts';

export interface OpenedPlan {
  readonly desk: Desk;
  /** In the order of the plan. */
  readonly layers: readonly OpenLayer[];
}

export async function readPlan(path: string): Promise<Result<Plan>> {
  const source = pathSource(path);
  if (!source.ok) return source;
  const bytes = await source.value.readAll();
  if (!bytes.ok) return bytes;
  try {
    return parsePlan(JSON.parse(new TextDecoder().decode(bytes.value)), path);
  } catch (error) {
    return fail(
      'plan',
      path,
      `is not valid JSON (${error instanceof Error ? error.message : String(error)})`,
      'Correct it.',
    );
  }
}

/** All plantings of a plan, or the one of that id; never an empty list. */
export function plantingsOf(plan: Plan, path: string, id: string | null): Result<readonly Planting[]> {
  const plantings = id === null ? plan.plantings : plan.plantings.filter((p) => p.id === id);
  return plantings.length > 0
    ? ok(plantings)
    : fail(
        'plan',
        path,
        id === null ? 'has no planting' : `has no planting "${id}"`,
        'Add one, or name one that is there.',
      );
}

/**
 * Opens the layers of a plan that lies at `path`. The first that cannot be opened is the failure.
 * @param needed which of its layers; all by default. What one of them is computed from is opened too.
 */
export async function openPlan(
  plan: Plan,
  path: string,
  work: Work,
  needed: (entry: LayerEntry) => boolean = () => true,
): Promise<Result<OpenedPlan>> {
  const desk = createDesk();
  const entries = withGrounds(plan.layers, needed);
  for (const [i, entry] of openingOrder(entries).entries()) {
    work.progress?.(i, entries.length, 'layers opened');
    const ground = isComputed(entry) ? groundOf(entry, entries) : null;
    if (ground?.ok === false) return ground;
    const opened = ground
      ? await openComputed(desk, entry, work)
      : await openEntry(desk, entry, dirname(resolve(path)), work);
    if (!opened.ok) return opened;
  }
  work.progress?.(entries.length, entries.length, 'layers opened');
  return ok({ desk, layers: entries.flatMap((e) => desk.layers.get(e.id) ?? []) });
}

async function openEntry(
  desk: Desk,
  entry: LayerEntry,
  folder: string,
  work: Work,
): Promise<Result<OpenLayer>> {
  const source =
    entry.url === undefined ? pathSource(join(folder, entry.path ?? '')) : ok(urlSource(entry.url));
  return source.ok ? openLayer(desk, entry, source.value, work) : source;
}
