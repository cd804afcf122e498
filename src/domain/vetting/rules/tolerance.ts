import type { Rules } from '../../plan/schema.ts';
import { figure, finding, inBand, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** One variable at the candidate is within a band about the site's value, in the unit of its file. */
export function tolerance(input: RuleInput, settings: Rules['tolerance'][number]): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { below, above } = settings;
  const v = input.match?.variables.findIndex((x) => x.id === settings.variable) ?? -1;
  const variable = input.match?.variables[v];
  const values = input.match?.values[v];
  const atSite = input.site.reading?.values[v] ?? NaN;
  const measure = values ? values.map((x) => x - atSite) : new Float64Array(input.candidates.n).fill(NaN);
  const unit = variable?.unit ?? '';
  const tail = unit === '' || unit === '1' ? '' : ` ${unit}`;
  return finding(
    {
      rule: `tolerance:${settings.variable}`,
      title: variable?.title ?? settings.variable,
      measure,
      unit,
      words: null,
      limit:
        below === above
          ? `within ${figure(below)}${tail} of the site`
          : `at most ${figure(below)}${tail} below and ${figure(above)}${tail} above the site`,
      limits: { below, above },
      toCheck: variable
        ? `load a layer of ${variable.title.toLowerCase()} that covers both the tree and the site`
        : `choose "${settings.variable}" as a variable of the match`,
      from: '',
    },
    settings.strength,
    (i) => (inBand(measure[i], below, above) ? 'pass' : 'fail'),
  );
}
