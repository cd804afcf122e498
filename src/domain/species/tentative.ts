import { AMBIGUOUS, OAKS, resolveSpecies, type Section } from './species.ts';

/** What a name that does not stand for one oak may be. */
export interface Tentative {
  /** Index into OAKS of the one oak that is named with doubt; -1 where more than one could be meant, or none. */
  readonly species: number;
  /** Sections that an oak of this name may belong to; none where the name is not an oak's. */
  readonly sections: readonly Section[];
}

const DOUBT_WORDS = /\?|\b(?:cf|aff|nr|near|prob|probably|poss|possibly|maybe|perhaps|unknown|unsure)\b\.?/gi;
const BETWEEN = /\s*\/\s*|\s+(?:or|and)\s+/i;
const ALL: readonly Section[] = ['red', 'white', 'live', 'turkey'];

/** Sections of the oaks that one common name stands for; a name that is not here may be any. */
const SECTIONS: Readonly<Record<string, readonly Section[]>> = {
  red: ['red'],
  'swamp red': ['red'],
  laurel: ['red'],
  spanish: ['red'],
  jack: ['red'],
  possum: ['red'],
  rock: ['white'],
  swamp: ['white', 'red'],
  bottomland: ['white', 'red'],
  scrub: ['white', 'red', 'live'],
};

/** Whether a name is written with doubt: "cf.", "aff.", "?", "probably", or as one or another. */
export const isDoubted = (text: string): boolean => text.search(DOUBT_WORDS) >= 0 || BETWEEN.test(text);

/**
 * Reads a name that the table of oaks leaves unsettled as far as it goes: "Q. cf. alba" is perhaps a white oak, "Quercus
 * alba/montana" one of the white section, "red oak" one of the red section, "Quercus sp." any oak, "Acer rubrum" none. Never
 * used as an identification: only to say who may stand near.
 */
export function tentative(text: string): Tentative {
  const clean = text.replace(/[\s_]+/g, ' ').trim();
  const found = clean
    .replace(DOUBT_WORDS, ' ')
    .split(BETWEEN)
    .map((part) => resolveSpecies(part.replace(/\s+/g, ' ').trim()))
    .filter((r) => r.species >= 0);
  if (found.length > 0) {
    const species = [...new Set(found.flatMap((r) => [r.species, r.hybrid]))].filter((s) => s >= 0);
    return {
      species: species.length === 1 ? species[0] : -1,
      sections: [...new Set(species.map((s) => OAKS[s].section))],
    };
  }
  const common = clean
    .toLowerCase()
    .replace(/\boaks?\b|\btrees?\b/g, ' ')
    .replace(/[^a-z]+/g, ' ')
    .trim();
  if (Object.hasOwn(AMBIGUOUS, common)) return { species: -1, sections: SECTIONS[common] ?? ALL };
  return { species: -1, sections: /^q(?:uercus\b|\.)|\boaks?\b/i.test(clean) ? ALL : [] };
}
