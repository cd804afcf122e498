import type { Units } from '../../../state/session.svelte.ts';
import { far } from '../../format.ts';

const TITLE = 'Relative position';

/** What a layer of relative position is called: two with different radii are told apart by it. */
export const positionTitle = (radius: number, units: Units): string =>
  radius > 0 ? `${TITLE}, ${far(radius, units)}` : TITLE;

/** The title once the radius is another: one that the user wrote stays. */
export const retitled = (title: string | undefined, radius: number, units: Units): string =>
  title === undefined || /^Relative position(, [\d.,]+ (m|ft|km|mi))?$/.test(title)
    ? positionTitle(radius, units)
    : title;
