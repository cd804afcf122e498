import type { Rules } from '../../plan/schema.ts';
import { beyondBand, figure, findingOfSites, inBand, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** One variable at the candidate is within a band about the site's value, in the unit of its file. */
export function tolerance(input: RuleInput, settings: Rules['tolerance'][number]): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { below, above } = settings;
  const v = input.match?.variables.findIndex((x) => x.id === settings.variable) ?? -1;
  const variable = input.match?.variables[v];
  const values = input.match?.values[v];
  const unit = variable?.unit ?? '';
  const tail = unit === '' || unit === '1' ? '' : ` ${unit}`;
  const limit = (of: string): string =>
    below === above
      ? `within ${figure(below)}${tail} of ${of}`
      : `at most ${figure(below)}${tail} below and ${figure(above)}${tail} above ${of}`;
  const toCheck = (site: string): string =>
    variable
      ? `load a layer of ${variable.title.toLowerCase()} that covers both the tree and ${site}`
      : `choose "${settings.variable}" as a variable of the match`;
  return findingOfSites(
    input.sites,
    settings.strength,
    { limit: limit('each site'), toCheck: toCheck('each site') },
    (site) => {
      const atSite = site.reading?.values[v] ?? NaN;
      const measure = values ? values.map((x) => x - atSite) : new Float64Array(input.candidates.n).fill(NaN);
      return {
        told: {
          rule: `tolerance:${settings.variable}`,
          title: variable?.title ?? settings.variable,
          measure,
          unit,
          words: null,
          limit: limit('the site'),
          limits: { below, above },
          toCheck: toCheck('the site'),
          from: '',
        },
        test: (i) => (inBand(measure[i], below, above) ? 'pass' : 'fail'),
        beyond: (i) => beyondBand(measure[i], below, above),
      };
    },
  );
}
