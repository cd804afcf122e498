/** What the screen of the variables says. */
import { layerDefinition } from '../../../../layers/index.ts';
import type { Unit } from '../../../domain/layers/definition.ts';
import type { LayerEntry } from '../../../domain/plan/schema.ts';
import type { NoLogarithm } from '../../../domain/vetting/match/logarithm.ts';
import type { Pairing } from '../../../domain/vetting/match/pairing.ts';
import type { Units } from '../../../state/session.svelte.ts';
import { capital, measured, number, quantityOf, unitOf } from '../../format.ts';

export const titleOf = (l: LayerEntry): string =>
  l.title ?? layerDefinition(l.definition)?.title ?? l.definition;

/** A title inside a sentence: "annual precipitation"; what begins with capitals or a single letter stays ("USDA ...", "pH"). */
export const inSentence = (title: string): string =>
  title.replace(/^\p{Lu}(?=\p{Ll})/u, (c) => c.toLowerCase());

/** The unit of a layer's values as the user reads them. */
export function unitShown(unit: Unit | null, units: Units): string {
  const quantity = quantityOf(unit ?? '');
  if (quantity) return unitOf(quantity, units);
  return unit === null || unit === '1' || unit === 'class' ? '' : unit;
}

/** "Climate 1991-2020", "Soil". */
export const groupTitle = (role: string, period: string): string =>
  period === '' ? capital(role) : `${capital(role)} ${period}`;

/** A correlation to two decimals, but never a false 1: "0.97", "−0.99". */
export const correlationWords = (r: number): string =>
  number(Math.abs(r) < 1 ? Math.max(-0.99, Math.min(0.99, r)) : r, 2).replace('-', '−');

/** Why a variable has no logarithm that could be compared. */
export function noLogarithmWords(why: NoLogarithm, least: number, unit: Unit, units: Units): string {
  if (why === 'no true zero') return 'degrees have no true zero, so a ratio of two means nothing';
  if (why === 'is a logarithm') return 'pH is a logarithm already';
  if (why === 'not known') return 'what it holds is not known yet';
  return `its least value, ${measured(least, unit, units)}, has no logarithm`;
}

/** Why a variable cannot be paired with the site's period; null where it can. */
export function pairingTrouble({ layer, twins }: Pairing, period: string): string | null {
  if (twins.length === 1) return null;
  const title = titleOf(layer);
  return twins.length === 0
    ? `${title} has no layer of ${period}: add it in the Layers stage, or leave this variable out.`
    : `${title} has ${twins.length} layers of ${period}: keep one of them, or give them periods of their own.`;
}
