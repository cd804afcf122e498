import { AMBIGUOUS, NAMED_HYBRIDS, OAKS, READ_WITH_CARE } from './species.ts';

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
