/** The hybrid risk of one tree in sentences. */
import { KIN_LEVELS } from '../../domain/candidates/kinLevel.ts';
import type { KinOf } from '../../domain/candidates/kinOf.ts';
import { OAKS } from '../../domain/species/species.ts';
import { far, number } from '../format.ts';
import type { Units } from '../../state/session.svelte.ts';

export const levelWords = (kin: KinOf): string =>
  Number.isNaN(kin.level) ? 'not known' : KIN_LEVELS[kin.level];

/** What the level is read from; where it is not known, why. @param radius metres. */
export function kinWords(kin: KinOf, settled: boolean, radius: number, units: Units): string {
  const within = far(radius, units);
  if (kin.section === null) return 'Its species is not settled, so that no section can be looked through.';
  if (!settled)
    return `Its own species is not settled. Below: oaks on record within ${within}, as for ${OAKS[kin.named].common}.`;
  if (Number.isNaN(kin.level))
    return `Nobody has recorded a second species of the ${kin.section} section: whether others stand near is not known.`;
  const { count, nearest, share } = kin.sure;
  const possible = kin.trees.filter((t) => t.kinship === 'possible').length;
  const doubtful =
    possible === 0
      ? ''
      : ` ${number(possible)} ${count === 0 ? '' : 'more '}${possible === 1 ? 'is doubtful, and may be another' : 'are doubtful, and may be others'}.`;
  if (count === 0)
    return `No other species of the ${kin.section} section is on record within ${within}.${doubtful}`;
  return (
    `${number(count)} ${count === 1 ? 'oak' : 'oaks'} of another species of the ${kin.section} section on record within ${within}, ` +
    `the nearest at ${far(nearest, units)}: ${number(100 * share)} % of the oaks of the section there.${doubtful}`
  );
}
