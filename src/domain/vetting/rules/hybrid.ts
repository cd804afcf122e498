import { KIN_LEVELS } from '../../candidates/kinLevel.ts';
import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/**
 * Few enough other oaks of the section stand near, as far as they are on record: they may have sent the pollen. Asked of
 * their number, or of the level of risk where one is set.
 */
export function hybrid(input: RuleInput, settings: Rules['hybrid']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { most, radius, level } = settings;
  const about = {
    rule: 'hybrid',
    title: 'Hybrid risk',
    toCheck: `look for other oaks of the section within ${figure(radius)} m and record them`,
  };
  if (level !== undefined) {
    const measure = input.measures.kinLevel;
    const highest = KIN_LEVELS.indexOf(level);
    return finding(
      {
        ...about,
        measure,
        unit: '',
        words: KIN_LEVELS,
        limit: `at most ${level}, from oaks of the section on record within ${figure(radius)} m`,
        limits: { radius },
        from: 'kinLevel',
      },
      settings.strength,
      (i) => (measure[i] <= highest ? 'pass' : 'fail'),
    );
  }
  const measure = input.measures.kin;
  return finding(
    {
      ...about,
      measure,
      unit: 'trees',
      words: null,
      limit: `at most ${figure(most)} other oaks of the section on record within ${figure(radius)} m`,
      limits: { most, radius },
      from: 'kin',
    },
    settings.strength,
    (i) => (measure[i] <= most ? 'pass' : 'fail'),
  );
}
