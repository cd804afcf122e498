/** What the ranking of zones says, in words: counted from its rows. */
import { inWords } from '../../domain/base/inWords.ts';
import { METRES_PER_MILE, SQUARE_METRES_PER_ACRE } from '../../domain/base/units.ts';
import type { Rules } from '../../domain/plan/schema.ts';
import type { HomeContact, ZoneRow } from '../../domain/vetting/zoneRanking.ts';
import type { Units } from '../../state/session.svelte.ts';
import { number, travel } from '../format.ts';

/** More of its area than this, and a zone is worth going to look in (ours). */
export const MUCH = 0.1;

export const CONTACT_WORDS: Readonly<Record<HomeContact, string>> = {
  home: 'home zone',
  adjacent: 'adjacent',
  corner: 'corner only',
  other: 'apart',
  unknown: '',
};

/** Large areas in km² or mi², small ones in hectares or acres; an em dash where it is not known. */
export function area(km2: number, units: Units): string {
  if (!Number.isFinite(km2)) return '—';
  if (units === 'metric') {
    if (km2 >= 1) return `${number(km2, km2 < 10 ? 1 : 0)} km²`;
    return `${number(km2 * 100, km2 > 0 && km2 < 0.1 ? 1 : 0)} ha`;
  }
  const mi2 = (km2 * 1e6) / METRES_PER_MILE ** 2;
  if (mi2 >= 1) return `${number(mi2, mi2 < 10 ? 1 : 0)} mi²`;
  const acres = (km2 * 1e6) / SQUARE_METRES_PER_ACRE;
  return `${number(acres, acres > 0 && acres < 10 ? 1 : 0)} acres`;
}

/** Figure and sign stay on one line. */
const NB = '\u00a0';

/** A share of area as a percentage, but never a false 0 or 100. */
export function percent(share: number): string {
  if (!Number.isFinite(share)) return '—';
  const p = 100 * share;
  if (p > 0 && p < 0.1) return `<0.1${NB}%`;
  if (p < 100 && p > 99.5) return `>99${NB}%`;
  return `${number(p, p > 0 && p < 10 ? 1 : 0)}${NB}%`;
}

/** Two decimals, or three where the threshold was set so finely. */
export const threshold = (least: number): string =>
  Number.isInteger(Math.round(least * 1000) / 10) ? least.toFixed(2) : least.toFixed(3);

const zonesOf = (n: number): string => (n === 1 ? '1 zone' : `${n} zones`);

/**
 * Where to look first, a sentence each: the home zone, the others and the nearest of them, where eligible candidates stand.
 * @param rows all zones. @param least the threshold that their shares are of.
 */
export function advice(rows: readonly ZoneRow[], least: number, units: Units): string[] {
  const known = rows.filter((r) => Number.isFinite(r.share));
  if (known.length === 0)
    return ['No zone has a place where all variables have a value: the layers do not reach the zones.'];
  const at = threshold(least);
  const over = known.filter((r) => r.overKm2 > 0);
  if (over.length === 0) {
    const top = known.reduce((a, b) => (b.best > a.best ? b : a));
    return [
      `No zone has ground at ${at} or better. The best match of all is ${top.best < 0.001 ? 'under 0.001' : top.best.toFixed(3)}, in ${top.name}.`,
    ];
  }
  const said: string[] = [];
  const homes = known.filter((r) => r.contact === 'home');
  for (const home of homes)
    said.push(
      home.overKm2 > 0
        ? `${home.name}, the home zone, has ${percent(home.share)} of its area at ${at} or better.`
        : `${home.name}, the home zone, has no ground at ${at} or better.`,
    );
  const others = known.filter((r) => r.contact !== 'home');
  const much = others.filter((r) => r.share > MUCH);
  const word = homes.length > 0 ? ' other' : '';
  const counted = (n: number): string => zonesOf(n).replace(' ', `${word} `);
  if (much.length > 0) {
    const nearest = much.reduce((a, b) => (b.km < a.km ? b : a));
    said.push(
      `${counted(much.length)} ${much.length === 1 ? 'has' : 'have'} more than a tenth of ${much.length === 1 ? 'its' : 'their'} area at ${at} or better${
        much.length === 1
          ? `: ${nearest.name}, ${travel(nearest.km * 1000, units)} away`
          : `; nearest: ${nearest.name}, ${travel(nearest.km * 1000, units)}`
      }.`,
    );
  } else if (others.length > 0) {
    const most = others.reduce((a, b) => (b.share > a.share ? b : a));
    said.push(
      most.overKm2 > 0
        ? `No${word} zone has more than a tenth of its area at ${at} or better; most has ${most.name}, ${percent(most.share)}, ${travel(most.km * 1000, units)} away.`
        : `No${word} zone has ground at ${at} or better.`,
    );
  }
  const counts = over.some((r) => Number.isFinite(r.eligible));
  const eligible = over.filter((r) => r.eligible > 0).sort((a, b) => b.eligible - a.eligible);
  if (counts)
    said.push(
      eligible.length === 0
        ? 'No candidate in them is eligible yet: scout there, or see what holds candidates back.'
        : `Eligible candidates stand in ${inWords([
            ...eligible.slice(0, 3).map((r) => `${r.name} (${r.eligible})`),
            ...(eligible.length > 3 ? [`${eligible.length - 3} more`] : []),
          ])}.`,
    );
  return said;
}

/** Which zones count by the planting's rule; empty where it rules none out. */
export function zoneRule({ strength, adjacent, cornerCounts }: Rules['zone']): string {
  if (strength !== 'must') return '';
  if (!adjacent) return 'By the planting’s rule on zones, only trees of the home zone count.';
  const corner = cornerCounts ? ', also at a corner' : '';
  return `By the planting’s rule on zones, only trees of the home zone and of those adjacent to it${corner} count.`;
}

/** Which cells were taken. */
export function cellWords(step: number, cellMetres: number, far: (metres: number) => string): string {
  const size = far(cellMetres);
  return step === 1
    ? `Every cell of ${size} was taken, by its centre.`
    : `One cell in ${step} each way was taken, of cells of ${size}; a share of a small zone is that much coarser.`;
}
