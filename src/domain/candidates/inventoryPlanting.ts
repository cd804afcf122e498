import type { Attributes } from '../base/geo.ts';
import { yearFields, yearReader } from '../layers/years.ts';

/** What an entry of an inventory says of where its tree comes from. */
export interface Planting {
  readonly said: 'planted' | 'natural' | '';
  /** NaN not told. */
  readonly year: number;
  /** The words that say so; '' where the year does. */
  readonly words: string;
}

/**
 * Attributes whose words may tell whether the tree was planted, in small letters without signs (common practice, no source;
 * the terms of Darwin Core among them).
 */
const FIELDS = new Set(
  'origin treeorigin source stocksource stocktype planttype plantingtype provenance establishment establishmentmeans degreeofestablishment naturalness status treestatus'.split(
    ' ',
  ),
);
const PLANTER = 'plantedby';
/** "native" is said of the species: a native tree may be planted. */
const NATURAL =
  /\b(not planted|never planted|unplanted|natural(ly)?|remnant|relict|self.?(sown|seeded)|volunteer|wild|spontaneous|pre.?existing|preserved|retained)\b/i;
/** Cultivated and captive are degrees of establishment of Darwin Core (TDWG 2021), d003 and d002 their addresses. */
const PLANTED = /\b(planted|planting|nursery|transplant(ed)?|cultivated|captive|managed)\b|\bd00[23]\W*$/i;
/** Where the data came from, or a place that waits for a tree. */
const OF_OTHER =
  /\b(survey|inventory|census|list|database|gis|map|layer|proposed|planned|vacant|future|site|to be)\b/i;
const NOBODY = /^(|no|none|no ?one|nobody|unknown|unk|n\/?a|\?+|-+|0)$/i;

const plain = (name: string): string => name.toLowerCase().replace(/[^a-z0-9]/g, '');

function saidBy(words: string): Planting['said'] {
  if (NATURAL.test(words)) return 'natural';
  return PLANTED.test(words) && !OF_OTHER.test(words) ? 'planted' : '';
}

/**
 * Reads whether entries say that their tree was planted: by a year of planting, a planter, or words of origin. An entry that
 * also says that its tree is natural says "natural".
 * @param names attributes of the list. @param year the one that holds the year of planting, as in yearReader.
 */
export function plantingReader(
  names: readonly string[],
  year: string | undefined,
): (attributes: Attributes) => Planting {
  const yearOf = yearReader('planted', year);
  const dates = yearFields(names, 'planted');
  const telling = names.filter((n) => FIELDS.has(plain(n)));
  const planters = names.filter((n) => plain(n) === PLANTER);
  return (attributes) => {
    const text = (name: string): string => String(attributes[name] ?? '').trim();
    const found = yearOf(attributes);
    const said: Array<{ said: Planting['said']; words: string }> = [];
    const hear = (name: string, what: Planting['said']): void => {
      if (what !== '') said.push({ said: what, words: `${name}: ${text(name)}` });
    };
    // "planted" may hold yes or no instead of a date.
    for (const name of dates)
      hear(
        name,
        /^(y|yes|true|1)$/i.test(text(name))
          ? 'planted'
          : /^(n|no|false)$/i.test(text(name))
            ? 'natural'
            : saidBy(text(name)),
      );
    for (const name of telling) hear(name, saidBy(text(name)));
    for (const name of planters)
      hear(name, NOBODY.test(text(name)) ? '' : NATURAL.test(text(name)) ? 'natural' : 'planted');
    const natural = said.find((s) => s.said === 'natural');
    if (natural) return { said: 'natural', year: NaN, words: natural.words };
    if (!Number.isNaN(found)) return { said: 'planted', year: found, words: '' };
    return said.length > 0 ? { said: 'planted', year: NaN, words: said[0].words } : NOTHING;
  };
}

const NOTHING: Planting = { said: '', year: NaN, words: '' };
