import type { Candidates } from './candidates.ts';

/** By index: how a species was identified, as far as it is on record. */
export const IDENTIFIED = [
  'named person, with a key',
  'named person, key not recorded',
  'key used, nobody named',
  'named person, without a key',
] as const;

const NO_KEY = /^(?:no|none|n|false|0|by eye|not used)$/i;

/** Index into IDENTIFIED; NaN where nobody is named and no key was used. */
export function identified({ text }: Pick<Candidates, 'text'>, row: number): number {
  const named = (text.identifiedBy?.[row] ?? '') !== '';
  const key = text.keyUsed?.[row] ?? '';
  if (NO_KEY.test(key)) return named ? 3 : NaN;
  if (named) return key === '' ? 1 : 0;
  return key === '' ? NaN : 2;
}
