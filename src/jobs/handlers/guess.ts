/**
 * What a file most likely is, from its kind, name and field names. A guess is shown and the user decides; where nothing
 * speaks for a definition, or two are spoken for alike, there is none, since a wrong guess that nobody sees does harm.
 */
import { layerDefinitions } from '../../../layers/index.ts';
import { takes } from '../../domain/layers/definition.ts';
import type { Inspection } from '../protocol.ts';

/**
 * Names are read in plain form: small letters, words apart by one space ("wc2.1_30s_bio_12.tif" is "wc2 1 30s bio12 tif").
 * Numbered climate variables (bio 1 to 19) are those of the BIOCLIM list, MAT to DD5 the usual short names of climate
 * normals, ppt, tmean, tmin and tmax those of gridded station data (common practice; from memory).
 */
interface Words {
  /** Speaks for the definition. */
  readonly yes: RegExp;
  /** Speaks of something else under a like name. */
  readonly not?: RegExp;
}

/** A single month, which is neither the year nor the coldest or warmest of them: tmean_07, prec_1, ppt_jul. */
const MONTH =
  /\b(0[1-9]|1[0-2]|jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|january|february|march|april|june|july|august|september|october|november|december)\b|\b(tmean|tavg|tas|prec|ppt|pr) ?[1-9]\b/;
/** Least and greatest of a day are no means, and a quarter is no month. */
const EXTREME =
  /\b(tmin|tmax|tasmin|tasmax|min|max|minimum|maximum|lowest|highest|quarter|range|seasonality|extreme)\b/;
const either = (a: RegExp, b: RegExp): RegExp => new RegExp(`${a.source}|${b.source}`);

const WORDS: Readonly<Record<string, Words>> = {
  elevation: {
    yes: /\belev|\bdem\b|\bdtm\b|\bsrtm|\b3dep\b|\bned\b/,
    not: /\bslopes?\b|\baspect\b|hillshade|\b(north|east)ness\b|\btpi ?\d*\b|\b(relative|topographic) position\b|\btri\b|\broughness\b/,
  },
  // A slope in per cent is another number; a position class is none.
  slope: {
    yes: /\bslopes?\b/,
    not: /\baspect\b|\bper ?cent\b|\bpct\b|\bposition\b|\blength\b|\bclass(es)?\b/,
  },
  // An aspect in degrees is a direction, which cannot be compared as a number: only its cosine and sine are these.
  northness: { yes: /\bnorthness\b|\bcos(ine)? (of )?aspect\b|\baspect cos(ine)?\b/ },
  eastness: { yes: /\beastness\b|\bsine? (of )?aspect\b|\baspect sine?\b/ },
  'relative-position': {
    yes: /\btpi ?\d*\b|\b(relative|topographic) position\b/,
    not: /\bclass(es)?\b|\blandforms?\b/,
  },
  'mean-annual-temperature': {
    yes: /\bmat\b|\bmean annual temp|\bannual mean temp|\b(tmean|tavg|tas)\b|\bannual temp|\bbio1\b/,
    not: either(EXTREME, MONTH),
  },
  'coldest-month-temperature': { yes: /\bmcmt\b|\bcoldest month\b/, not: EXTREME },
  'warmest-month-temperature': { yes: /\bmwmt\b|\bwarmest month\b/, not: EXTREME },
  'annual-precipitation': {
    yes: /\bbio12\b|\bannual (prec|rain)|\b(precip\w*|prec|ppt|rainfall|pr)\b/,
    not: either(/\b(summer|growing season|winter|wettest|driest|quarter|seasonality)\b/, MONTH),
  },
  'growing-season-precipitation': { yes: /\bmsp\b|\b(growing season|mean summer|summer) prec/ },
  // The number of days without frost (NFFD) and of days with it are other things than the longest time without.
  'frost-free-period': { yes: /\bffp\b|\bfrost free (period|season)\b/ },
  'growing-degree-days': { yes: /\bgdds? ?\d*\b|\bdd ?5\b|\bgrowing degree ?days?\b/ },
  'soil-ph': { yes: /\bph\b|\bphh2o\b|\bph ?1 ?to ?1 ?h2o\b|\bphw\b|\bsoil reaction\b/ },
  // "awc" is a share of the volume as often as a depth of water.
  'available-water': { yes: /\baws ?\d*\b|\bavailable water (storage|supply)\b/ },
  'clay-share': { yes: /\bclay\b|\bclay ?(total|content|share|pct|percent)\b/, not: /\bminera/ },
  'land-cover': {
    yes: /\bland ?cover\b|\bnlcd\b|\blulc\b|\bland ?use\b/,
    not: /impervious|\btcc\b|canopy|\bchange\b/,
  },
  zones: { yes: /\bzones?\b|\bseed ?collection\b|\bregions?\b|\bseedzones?\b/ },
  'native-range': { yes: /\branges?\b|\bdistribution\b/ },
  // A field "year built" may be one of buildings, or of parcels by which development is known.
  development: {
    yes: /\b(year|yr|first) ?(first )?(developed|built|settled)\b|\bdeveloped year\b|\bbuilt ?up year\b|\bfbuy\b|\bsubdivisions?\b|\bdevelopment (year|history)\b/,
    not: /\bbuildings?\b|\bfootprints?\b/,
  },
  buildings: { yes: /\bbuild|\bfootprints?\b|\bstructures?\b|\b(year|yr) ?built\b/ },
  roads: { yes: /\broads?\b|\bstreet ?(center)?lines?\b|\bhighways?\b|\btracks?\b/ },
  settings: { yes: /\bsettings?\b|\bcemeter|\bburial\b|\bparks?\b|\borchards?\b|\bcampus|\byards?\b/ },
  inventory: { yes: /\binventory\b|\b(street|park|city|urban|campus|planted) ?trees?\b|\btree ?list\b/ },
  candidates: {
    yes: /\bcandidates?\b|\bmothers?\b|\bparents?\b|\btrees?\b|\bstands?\b|\boaks?\b|\bnotebook\b/,
  },
  barrier: { yes: /\bbarriers?\b|\bwater ?(body|bodies)\b|\blakes?\b|\bno entry\b|\bclosed\b/ },
};

/** "MAP" is mean annual precipitation where it is written so; a "map" may be of anything. */
const MAP = /(^|[^A-Za-z])MAP([^A-Za-z]|$)/;

function plainName(name: string): string {
  return name
    .replace(/([a-z])([A-Z][a-z])/g, '$1 $2')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .replace(/\bbio(clim)? ?0?(\d)/g, 'bio$2')
    .trim();
}

function score(id: string, name: string, fields: readonly string[]): number {
  const words = WORDS[id];
  if (!words) return 0;
  const speaks = (text: string): boolean => {
    const plain = plainName(text);
    const yes = words.yes.test(plain) || (id === 'annual-precipitation' && MAP.test(text));
    return yes && !words.not?.test(plain);
  };
  return (speaks(name) ? 2 : 0) + (fields.some(speaks) ? 1 : 0);
}

/** Ids of the definitions that a file of this kind could be, the best guess first; a table holds points. */
export function guessDefinitions(
  kind: Inspection['kind'],
  name: string,
  fields: readonly string[],
): string[] {
  const fitting = layerDefinitions.filter((d) => takes(d, kind)).map((d) => d.id);
  // A stable sort keeps the order of the list among equals.
  return fitting.sort((a, b) => score(b, name, fields) - score(a, name, fields));
}

/** The definition that name and fields speak for; '' where there is none, or where two are spoken for alike. */
export function guessDefinition(kind: Inspection['kind'], name: string, fields: readonly string[]): string {
  const [first, second] = guessDefinitions(kind, name, fields);
  if (first === undefined || score(first, name, fields) === 0) return '';
  const tied = second !== undefined && score(second, name, fields) === score(first, name, fields);
  return tied ? '' : first;
}

const SCENARIO = /(?<![a-z])(ssp|rcp)[ _.-]?(\d)[ _.-]?(\d)[ _.-]?(\d)?(?!\d)/i;

/**
 * The years that a climate layer describes, from its file name: "1991_2020", "2041-2070", "20412070", "2041-60", with the
 * scenario of a projection where one is named ("ssp245": "2041-2070 SSP2-4.5"). '' where the name tells none: one year
 * alone may be when the file was made.
 */
export function guessPeriod(name: string): string {
  const years = yearsOf(name);
  if (years === '') return '';
  const s = SCENARIO.exec(name);
  if (!s) return years;
  const [, family, one, two, three] = s;
  if (family.toLowerCase() === 'rcp') return `${years} RCP${one}.${two}`;
  return three === undefined ? years : `${years} SSP${one}-${two}.${three}`;
}

function yearsOf(name: string): string {
  const year = (text: string): number => {
    const y = Number(text);
    return y >= 1850 && y <= 2150 ? y : NaN;
  };
  for (const [, a, b] of name.matchAll(/(?<!\d)(\d{4})(?:[ _.–-]{1,3}|[ _.-]?to[ _.-]?)(\d{4})(?!\d)/gi))
    if (year(a) < year(b)) return `${a}-${b}`;
  for (const [, a, b] of name.matchAll(/(?<!\d)(\d{4})(\d{4})(?!\d)/g)) {
    // 20102020 may be the twentieth of October; 20412070 is no day.
    const day = Number(a.slice(0, 2)) <= 31 && Number(a.slice(2)) >= 1 && Number(a.slice(2)) <= 12;
    if (year(a) < year(b) && !day) return `${a}-${b}`;
  }
  for (const [, a, b] of name.matchAll(/(?<!\d)(\d{4})[_–-](\d{2})(?![\d-])/g)) {
    // 2023-05 is a month.
    const end = year(a.slice(0, 2) + b);
    if (year(a) < end && Number(b) > 12) return `${a}-${end}`;
  }
  return '';
}
