import type { EvidenceMark } from '../domain/vetting/origin/marks.ts';
import type { Units } from '../state/session.svelte.ts';
import { measured, number } from './format.ts';

/** What stands beside a mark on the map: "building 42 m", "forest 62 %", "100 m"; '' nothing. */
export function markLabel(mark: EvidenceMark, units: Units): string {
  if (mark.kind === 'circle' || mark.kind === 'link')
    return `${mark.label} ${measured(mark.metres, 'm', units)}`.trim();
  if (mark.kind === 'ground')
    return mark.ground === null ? '' : `${mark.label} ${number(100 * mark.share)} %`;
  return mark.label;
}
