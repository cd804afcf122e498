/** Every rule, in the order in which findings are shown. A new rule is added here by hand. */
import type { Rules } from '../../plan/schema.ts';
import { accuracy } from './accuracy.ts';
import { elevation } from './elevation.ts';
import { hybrid } from './hybrid.ts';
import { identification } from './identification.ts';
import { match } from './match.ts';
import { origin } from './origin.ts';
import { permission } from './permission.ts';
import { record } from './record.ts';
import { road } from './road.ts';
import type { RuleInput } from './rule.ts';
import { slope } from './slope.ts';
import { species } from './species.ts';
import { tolerance } from './tolerance.ts';
import { transfer } from './transfer.ts';
import type { FindingColumn, FindingColumns } from './types.ts';
import { zone } from './zone.ts';

/** Answers of all rules that are not off, over all candidates. */
export function findings(input: RuleInput, rules: Rules): FindingColumns {
  const columns: Array<FindingColumn | null> = [
    species(input, rules.species),
    zone(input, rules.zone),
    elevation(input, rules.elevation),
    transfer(input, rules.transfer),
    match(input, rules.match),
    ...rules.tolerance.map((t) => tolerance(input, t)),
    origin(input, rules.origin),
    identification(input, rules.identification),
    hybrid(input, rules.hybrid),
    accuracy(input, rules.accuracy),
    permission(input, rules.permission),
    road(input, rules.road),
    slope(input, rules.slope),
    record(input),
  ];
  return { rules: columns.filter((c) => c !== null) };
}
