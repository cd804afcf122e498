/**
 * The oaks of eastern North America that the program knows by name. A candidate's species is an index into `OAKS`, so
 * new species go to the end of the list.
 *
 * Names and seasons to mature of the first 23: Bonner 2008, Quercus, in The Woody Plant Seed Manual (USDA Forest Service
 * Agriculture Handbook 727), tables 2 and 3. The remaining species, sections (Denk et al. 2017), synonyms and named
 * hybrids: Flora of North America vol. 3 (1997) from memory.
 */
import { CODES } from './codes.ts';

/** Red: section Lobatae; white: Quercus; live: Virentes; turkey: Cerris. Trees cross far more readily within one than between two. */
export type Section = 'red' | 'white' | 'live' | 'turkey';

export interface Oak {
  readonly name: string;
  readonly common: string;
  readonly section: Section;
  /** Growing seasons from flower to ripe acorn. */
  readonly seasons: 1 | 2;
  /** Scientific synonyms without the genus. */
  readonly synonyms: readonly string[];
  /** Further common names without the word "oak". */
  readonly alsoCalled: readonly string[];
  /** Not native to eastern North America. */
  readonly introduced?: true;
}

const oak = (
  epithet: string,
  common: string,
  section: Section,
  seasons: 1 | 2,
  synonyms: readonly string[] = [],
  alsoCalled: readonly string[] = [],
): Oak => ({ name: `Quercus ${epithet}`, common, section, seasons, synonyms, alsoCalled });

export const OAKS: readonly Oak[] = [
  oak('alba', 'white oak', 'white', 1, [], ['eastern white', 'northern white', 'stave']),
  oak('bicolor', 'swamp white oak', 'white', 1, ['platanoides']),
  oak('macrocarpa', 'bur oak', 'white', 1, ['olivaeformis'], ['burr', 'mossycup', 'mossy cup']),
  oak('lyrata', 'overcup oak', 'white', 1),
  oak('michauxii', 'swamp chestnut oak', 'white', 1, ['houstoniana'], ['cow', 'basket']),
  oak(
    'montana',
    'chestnut oak',
    'white',
    1,
    ['prinus', 'prinus var monticola'],
    ['rock chestnut', 'mountain chestnut'],
  ),
  oak(
    'muehlenbergii',
    'chinkapin oak',
    'white',
    1,
    ['muhlenbergii', 'acuminata', 'prinoides var acuminata'],
    ['chinquapin', 'chinquapin white', 'yellow chestnut'],
  ),
  oak('stellata', 'post oak', 'white', 1, ['obtusiloba', 'minor']),
  oak('virginiana', 'live oak', 'live', 1, ['virens'], ['southern live']),
  oak(
    'rubra',
    'northern red oak',
    'red',
    2,
    ['borealis', 'maxima', 'rubra var ambigua'],
    ['eastern red', 'gray'],
  ),
  oak(
    'velutina',
    'black oak',
    'red',
    2,
    ['tinctoria', 'missouriensis'],
    ['eastern black', 'yellow bark', 'quercitron'],
  ),
  oak('coccinea', 'scarlet oak', 'red', 2),
  oak('falcata', 'southern red oak', 'red', 2, ['digitata', 'triloba']),
  oak(
    'pagoda',
    'cherrybark oak',
    'red',
    2,
    [
      'pagodifolia',
      'pagodaefolia',
      'falcata var pagodifolia',
      'falcata var pagodaefolia',
      'leucophylla',
      'falcata var leucophylla',
    ],
    ['cherry bark'],
  ),
  oak('palustris', 'pin oak', 'red', 2),
  oak('phellos', 'willow oak', 'red', 2),
  oak('nigra', 'water oak', 'red', 2, ['aquatica']),
  oak('texana', 'Nuttall oak', 'red', 2, ['nuttallii'], ['nuttalls']),
  oak('shumardii', 'Shumard oak', 'red', 2, [], ['shumard red', 'shumards']),
  oak('imbricaria', 'shingle oak', 'red', 2),
  oak('ilicifolia', 'bear oak', 'red', 2, ['nana'], ['bear scrub']),
  oak('ellipsoidalis', 'northern pin oak', 'red', 2, [], ['hills']),
  { ...oak('acutissima', 'sawtooth oak', 'turkey', 2), introduced: true },
  oak('marilandica', 'blackjack oak', 'red', 2, [], ['black jack']),
  oak('laurifolia', 'swamp laurel oak', 'red', 2, ['obtusa'], ['diamond leaf', 'diamondleaf']),
  oak('hemisphaerica', 'Darlington oak', 'red', 2, [], ['darlington laurel', 'sand laurel']),
  oak('incana', 'bluejack oak', 'red', 2, ['cinerea'], ['blue jack']),
  oak('laevis', 'turkey oak', 'red', 2, ['catesbaei']),
  oak('buckleyi', 'Buckley oak', 'red', 2, ['shumardii var texana'], ['texas red', 'buckleys']),
  oak('georgiana', 'Georgia oak', 'red', 2),
  oak('arkansana', 'Arkansas oak', 'red', 2),
  oak('myrtifolia', 'myrtle oak', 'red', 2),
  oak('prinoides', 'dwarf chinkapin oak', 'white', 1, [], ['dwarf chinquapin']),
  oak('margarettae', 'sand post oak', 'white', 1, [
    'margaretta',
    'stellata var margaretta',
    'stellata var margarettae',
  ]),
  oak(
    'similis',
    'bottomland post oak',
    'white',
    1,
    ['stellata var paludosa', 'mississippiensis', 'stellata var mississippiensis'],
    ['delta post', 'swamp post'],
  ),
  oak('sinuata', 'bastard oak', 'white', 1, ['durandii'], ['durand', 'bluff', 'bigelow']),
  oak('austrina', 'bastard white oak', 'white', 1, [], ['bluff white']),
  oak('oglethorpensis', 'Oglethorpe oak', 'white', 1),
  oak('chapmanii', 'Chapman oak', 'white', 1, [], ['chapmans']),
  oak('geminata', 'sand live oak', 'live', 1, ['virginiana var geminata']),
  oak('minima', 'dwarf live oak', 'live', 1),
  {
    ...oak('robur', 'English oak', 'white', 1, ['pedunculata'], ['pedunculate', 'common']),
    introduced: true,
  },
];

/** Named hybrids: the name after the hybrid sign, and the parents' epithets. */
export const NAMED_HYBRIDS: Readonly<Record<string, readonly [string, string]>> = {
  beadlei: ['alba', 'michauxii'],
  bebbiana: ['alba', 'macrocarpa'],
  bushii: ['marilandica', 'velutina'],
  deamii: ['macrocarpa', 'muehlenbergii'],
  exacta: ['imbricaria', 'palustris'],
  fernowii: ['alba', 'stellata'],
  filialis: ['phellos', 'velutina'],
  hawkinsiae: ['rubra', 'velutina'],
  heterophylla: ['phellos', 'rubra'],
  jackiana: ['alba', 'bicolor'],
  leana: ['imbricaria', 'velutina'],
  richteri: ['palustris', 'rubra'],
  runcinata: ['imbricaria', 'rubra'],
  saulii: ['alba', 'montana'],
  schochiana: ['palustris', 'phellos'],
  schuettei: ['bicolor', 'macrocarpa'],
};

/** Common names (without "oak") that the trade uses for more than one species: never guessed. */
export const AMBIGUOUS: Readonly<Record<string, string>> = {
  red: 'northern red, southern red, Shumard and cherrybark oak are all called "red oak"',
  swamp: 'swamp white, swamp chestnut, pin and other oaks are called "swamp oak"',
  laurel: 'Q. laurifolia and Q. hemisphaerica are both called "laurel oak"',
  spanish: 'Q. falcata, Q. buckleyi and others are called "Spanish oak"',
  scrub: 'bear oak and other shrubby oaks are called "scrub oak"',
  rock: 'chestnut oak and other oaks are called "rock oak"',
  jack: 'northern pin, shingle and blackjack oak are all called "jack oak"',
  possum: 'water oak and other oaks are called "possum oak"',
  'swamp red': 'cherrybark, Shumard and Nuttall oak are all called "swamp red oak"',
  bottomland: 'several species are called "bottomland oak"',
};

/** Scientific names that older works gave to another species as well: read, with a note. */
export const READ_WITH_CARE: Readonly<Record<string, string>> = {
  prinus:
    'Q. prinus is read as Q. montana (chestnut oak); some works used it for Q. michauxii (swamp chestnut oak)',
  texana: 'Q. texana is read as Nuttall oak; some works used it for Q. buckleyi (Texas red oak)',
};

/** What a written name stands for. species -1: not known, and `note` says why. */
export interface ResolvedSpecies {
  /** Index into OAKS, -1 not known. */
  readonly species: number;
  /** Index of the other parent of a hybrid, else -1. */
  readonly hybrid: number;
  /** '' where there is nothing to say. */
  readonly note: string;
}

const unknown = (note: string): ResolvedSpecies => ({ species: -1, hybrid: -1, note });

const scientific = new Map<string, number>();
const common = new Map<string, number>();
OAKS.forEach((oak, i) => {
  for (const name of [oak.name.slice('Quercus '.length), ...oak.synonyms]) scientific.set(name, i);
  for (const name of [oak.common.replace(/ oak$/i, ''), ...oak.alsoCalled]) common.set(name.toLowerCase(), i);
});

/** Words that may follow a species name: authors ("L.", "(Michx.) Sudw.", "Du Roi", "f.", "ex", "&", a year). */
const AUTHOR =
  /^(?:\(?\p{Lu}[\p{L}.'’-]*\)?,?|\(?(?:f|fil)\.\)?|ex|et|and|&|in|de|von|nom\.|auct\.|\d{4},?)$/u;
const RANK = /^(?:var|subsp|ssp|f|forma|subvar)\.?$/;
const DOUBT = /\?|\b(?:cf|aff|near|prob|probably|possibly|maybe|or|and|unknown|unsure)\b|\//i;

/**
 * The oak that a written name stands for. Reads scientific names with or without authors, genus in full, as "Q." or left
 * out; synonyms; common names; hybrids with "x" or "×" by both parents or by the hybrid's own name. A name that fits more
 * than one species, or is written with doubt, is not known rather than guessed.
 */
export function resolveSpecies(text: string): ResolvedSpecies {
  const clean = text
    .normalize('NFKC')
    .replace(/[\s_]+/g, ' ')
    .trim();
  if (clean === '') return unknown('no species recorded');
  const code = resolveCode(clean);
  if (code) return code;
  const hybrid = resolveHybrid(clean);
  if (hybrid) return hybrid;
  if (DOUBT.test(clean)) return unknown(`"${clean}" is written with doubt`);
  return resolveOne(clean);
}

function resolveHybrid(clean: string): ResolvedSpecies | null {
  // "Q. xbebbiana": the sign typed as a letter on the name of a known hybrid.
  const typed = clean.match(/^(?:quercus|q\.?) ?x(\p{Ll}+)/iu);
  if (typed && Object.hasOwn(NAMED_HYBRIDS, typed[1].toLowerCase()))
    return resolveHybrid(`Quercus × ${typed[1]}`);
  const sign = clean.match(/^(.*?)(?:\s*[×✕]\s*|(?:^|\s)[xX]\s)(.*)$/u);
  if (!sign) return /\bhybrid\b/i.test(clean) ? unknown(`"${clean}": a hybrid without its parents`) : null;
  const before = sign[1].trim();
  const after = sign[2].trim();
  if (/^(?:quercus|q\.?)?$/i.test(before)) {
    const name = after.split(' ')[0].toLowerCase();
    if (!Object.hasOwn(NAMED_HYBRIDS, name)) return unknown(`"${clean}": hybrid not in the table of oaks`);
    const parents = NAMED_HYBRIDS[name];
    const [a, b] = parents.map((p) => scientific.get(p) ?? -1);
    return { species: a, hybrid: b, note: `${clean} is read as Q. ${parents[0]} × Q. ${parents[1]}` };
  }
  if (DOUBT.test(clean)) return unknown(`"${clean}" is written with doubt`);
  const a = resolveOne(before);
  const b = resolveOne(after);
  if (a.species < 0 || b.species < 0) return unknown(`"${clean}": ${a.species < 0 ? a.note : b.note}`);
  if (a.species === b.species) return unknown(`"${clean}": both parents are the same species`);
  return { species: a.species, hybrid: b.species, note: [a.note, b.note].filter(Boolean).join('; ') };
}

/** "QUAL", "802"; four letters without their number ("QUMA") only where they fit one oak of the table. */
function resolveCode(clean: string): ResolvedSpecies | null {
  const upper = clean.toUpperCase();
  if (!/^(QU[A-Z]{2}\d{0,2}|8\d\d)$/.test(upper)) return null;
  const epithet = Object.hasOwn(CODES, upper) ? CODES[upper] : null;
  if (epithet !== null)
    return {
      species: scientific.get(epithet) ?? -1,
      hybrid: -1,
      note: `the code ${upper} is read as Quercus ${epithet}`,
    };
  if (upper.length !== 4) return unknown(`"${clean}" is not a code in the table of oaks`);
  const letters = upper.slice(2).toLowerCase();
  const fitting = OAKS.filter((o) =>
    [o.name.slice('Quercus '.length), ...o.synonyms].some((e) => e.startsWith(letters)),
  );
  if (fitting.length !== 1)
    return unknown(
      fitting.length === 0
        ? `"${clean}" is not a code in the table of oaks`
        : `"${clean}" may stand for ${fitting.map((o) => o.name).join(', ')}`,
    );
  const { name } = fitting[0];
  return { species: OAKS.indexOf(fitting[0]), hybrid: -1, note: `the code ${upper} is read as ${name}` };
}

function resolveOne(clean: string): ResolvedSpecies {
  return (
    resolveScientific(clean) ?? resolveCommon(clean) ?? unknown(`"${clean}" is not in the table of oaks`)
  );
}

function resolveScientific(clean: string): ResolvedSpecies | null {
  const words = clean.split(' ');
  const genus = /^(?:quercus|q\.?)$/i.test(words[0]);
  // "Q.alba" is written without a space.
  const glued = words[0].match(/^q\.(\p{L}.*)$/iu);
  const rest = genus ? words.slice(1) : glued ? [glued[1], ...words.slice(1)] : words;
  const named = genus || glued !== null;
  if (rest.length === 0 || /^sp(?:p|ecies)?\.?$/i.test(rest[0])) {
    return named ? unknown(`"${clean}" names the genus only`) : null;
  }
  if (!named && rest.length > 1 && !AUTHOR.test(rest[1]) && !RANK.test(rest[1])) return null;
  const epithet = rest[0].toLowerCase();
  let key = epithet;
  for (let i = 1; i < rest.length; i++) {
    if (RANK.test(rest[i]) && i + 1 < rest.length && /^\p{Ll}/u.test(rest[i + 1])) {
      const infra = `${epithet} var ${rest[i + 1].toLowerCase()}`;
      if (scientific.has(infra)) key = infra;
      i++;
    } else if (!AUTHOR.test(rest[i])) {
      return named ? unknown(`"${clean}": "${rest[i]}" is not part of a name`) : null;
    }
  }
  const species = scientific.get(key);
  if (species === undefined) return named ? unknown(`"${clean}" is not in the table of oaks`) : null;
  return { species, hybrid: -1, note: READ_WITH_CARE[key] ?? '' };
}

function resolveCommon(clean: string): ResolvedSpecies | null {
  const inverted = clean.match(/^oaks?,\s*(.+)$/i);
  const plain = (inverted ? `${inverted[1]} oak` : clean)
    .toLowerCase()
    .replace(/['’`]/g, '')
    .replace(/\bno?(?:rth)?\.(?=\s)/g, 'northern')
    .replace(/\bn(?:o|orth)?\b/g, 'northern')
    .replace(/\bso?(?:uth)?\.(?=\s)/g, 'southern')
    .replace(/\bs(?:o|outh)?\b/g, 'southern')
    .replace(/\be\b\.?/g, 'eastern')
    .replace(/[-.]/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/ trees?$/, '')
    .trim();
  const name = plain.replace(/ ?oaks?$/, '').trim();
  if (name === '') return plain === '' ? null : unknown(`"${clean}" names the genus only`);
  if (Object.hasOwn(AMBIGUOUS, name)) return unknown(`"${clean}": ${AMBIGUOUS[name]}`);
  const species = common.get(name);
  return species === undefined ? null : { species, hybrid: -1, note: '' };
}
