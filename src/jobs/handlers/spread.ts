/** The spread of a planting: reference cells, covariance, its check, a sample of cells. */
import { drawInteger, rng } from '../../domain/base/rng.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { sitesOf } from '../../domain/plan/sites.ts';
import { spread as takeSpread } from '../../domain/vetting/match/spread.ts';
import { spreadCheck } from '../../domain/vetting/match/spreadCheck.ts';
import type { CellSample, Spread } from '../../domain/vetting/match/types.ts';
import type { Jobs } from '../protocol.ts';
import { followPlan, type Desk } from './desk.ts';
import { memoOf } from './memo.ts';
import { openVariables } from './openVariables.ts';
import { referenceCells, type Cells } from './referenceCells.ts';
import { zoneShapes } from './zonesOn.ts';

/** As many points as a plot can show apart. */
const MOST_SAMPLED = 1500;
const SEED = 20_263;

/**
 * The spread of a planting's variables, which needs no candidates. The reference cells are those of the match (and are read
 * once for both).
 *
 * Failures: 'plan', no such planting; those of the variables, the cells and the spread ('variables').
 */
export async function spread(
  desk: Desk,
  { plan, plantingId }: Jobs['spread']['input'],
  work: Work,
): Promise<Result<Jobs['spread']['output']>> {
  followPlan(desk, plan.layers);
  const planting = plan.plantings.find((p) => p.id === plantingId);
  if (!planting) return fail('plan', plantingId, 'is not among the plantings', 'Choose another planting.');
  const opened = openVariables(desk, planting, plan.layers);
  if (!opened.ok) return opened;
  const zones = zoneShapes(desk);
  const cells = await referenceCells(
    opened.value,
    sitesOf(planting),
    zones,
    planting.spread,
    work,
    memoOf(desk),
  );
  if (!cells.ok) return cells;
  const variables = opened.value.map((v) => v.variable);
  const taken = takeSpread({ ...cells.value, variables: variables.map((v) => v.title) });
  if (!taken.ok) return taken;

  work.progress?.(0, 1, 'pairs of reference cells compared');
  await work.pause?.();
  const { reference: _, ...shown } = taken.value;
  const names = cells.value.basis.basis === 'circle' ? [] : (zones?.names ?? []);
  return ok({
    variables,
    spread: shown,
    correlation: correlationOf(taken.value),
    check: spreadCheck({ ...cells.value, variables, names }, taken.value),
    sample: sampleOf(cells.value),
    notes: [...taken.value.nearlySame, ...notesOf(cells.value, taken.value)],
  });
}

function correlationOf({ covariance, variables }: Spread): Float64Array {
  const k = variables.length;
  return covariance.map((c, at) => {
    const [i, j] = [Math.floor(at / k), at % k];
    return i === j ? 1 : c / Math.sqrt(covariance[i * k + i] * covariance[j * k + j]);
  });
}

function notesOf({ refused, values, basis }: Cells, { variables }: Spread): string[] {
  const drawn = values[0].length.toLocaleString('en-US');
  const notes = refused.flatMap((n, v) =>
    n > 0
      ? [
          `${variables[v]}: ${n.toLocaleString('en-US')} of ${drawn} reference cells hold zero or less, which has no logarithm; they are left out`,
        ]
      : [],
  );
  if (basis.basis === 'circle' && basis.instead)
    notes.push(`Taken from a circle and not from zones: ${basis.instead}`);
  return notes;
}

/** Complete cells, as evenly over the zones as they allow; null without any. */
function sampleOf({ plain, values, zoneOf, zones, basis }: Cells): CellSample | null {
  const own: number[][] = Array.from({ length: zones }, () => []);
  zoneOf.forEach((zone, i) => {
    if (values.every((column) => Number.isFinite(column[i]))) own[zone].push(i);
  });
  const random = rng(SEED);
  const rows: number[] = [];
  // The smallest zones first: what they cannot give is shared among the larger ones.
  const held = [...own.filter((c) => c.length > 0)].sort((a, b) => a.length - b.length);
  held.forEach((cells, at) => {
    const take = Math.min(cells.length, Math.floor((MOST_SAMPLED - rows.length) / (held.length - at)));
    for (let i = 0; i < take; i++) {
      const j = i + drawInteger(random, cells.length - i);
      [cells[i], cells[j]] = [cells[j], cells[i]];
      rows.push(cells[i]);
    }
  });
  if (rows.length === 0) return null;
  return {
    values: plain.map((column) => Float64Array.from(rows, (i) => column[i])),
    zone: Int32Array.from(rows, (i) => (basis.basis === 'circle' ? -1 : zoneOf[i])),
  };
}
