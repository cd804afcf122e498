import type { Rules } from '../../plan/schema.ts';
import { OAKS } from '../../species/species.ts';
import { finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

const WORDS = ['the species', 'a hybrid of it', 'another species'] as const;

/** The candidate is of the planting's species, and no hybrid. */
export function species(input: RuleInput, settings: Rules['species']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { candidates, species: wanted } = input;
  const measure = Float64Array.from(candidates.species, (s, i) => {
    if (s < 0 || wanted < 0) return NaN;
    const other = candidates.hybrid[i];
    if (other < 0) return s === wanted ? 0 : 2;
    return s === wanted || other === wanted ? 1 : 2;
  });
  const name = OAKS[wanted]?.name ?? 'the species of the planting';
  return finding(
    {
      rule: 'species',
      title: 'Species',
      measure,
      unit: '',
      words: WORDS,
      limit: name,
      limits: {},
      toCheck: `identify the tree: it must be ${name}`,
      from: '',
    },
    settings.strength,
    (i) => (measure[i] === 0 ? 'pass' : 'fail'),
  );
}
