/** Which definition a file most likely is, from its kind, name and field names. A guess is shown and the user decides. */
import { layerDefinitions } from '../../../layers/index.ts';
import type { Inspection } from '../protocol.ts';

/** Words in a file or field name that speak for a definition; the more that fit, the better. */
const WORDS: Readonly<Record<string, RegExp>> = {
  elevation: /elev|dem\b|dtm|terrain|height/i,
  'mean-annual-temperature': /\bmat\b|mean.?annual.?temp|tmean|tavg|bio_?0?1\b|annual.?temp/i,
  'coldest-month-temperature': /coldest|mcmt|tmin|bio_?0?6\b/i,
  'warmest-month-temperature': /warmest|mwmt|tmax|bio_?0?5\b/i,
  'annual-precipitation': /\bmap\b|annual.?prec|precip|ppt|rain|bio_?12\b/i,
  'growing-season-precipitation': /growing.?season.?prec|\bmsp\b/i,
  'frost-free-period': /frost|ffp/i,
  'growing-degree-days': /\bgdd|degree.?days/i,
  'land-cover': /land.?cover|nlcd|lulc|landuse/i,
  zones: /zone|seed.?collection|region/i,
  'native-range': /range|distribution/i,
  buildings: /build|footprint|structure/i,
  roads: /road|street.?line|highway|track/i,
  settings: /setting|cemeter|burial|park|orchard|campus|yard/i,
  inventory: /inventory|street.?tree|park.?tree|tree.?list/i,
  candidates: /candidate|mother|parent|tree|stand|oak|notebook/i,
  barrier: /barrier|water|lake|no.?entry|closed/i,
};

export function guessDefinitions(
  kind: Inspection['kind'],
  name: string,
  fields: readonly string[],
): string[] {
  const geometry = kind === 'table' ? 'point' : kind;
  const fitting = layerDefinitions.filter((d) => d.geometry === geometry);
  const score = (id: string): number => {
    const word = WORDS[id];
    if (!word) return 0;
    const readable = name.replace(/[_.]/g, ' ');
    return (word.test(readable) || word.test(name) ? 2 : 0) + (fields.some((f) => word.test(f)) ? 1 : 0);
  };
  // A stable sort keeps the order of the list among equals.
  return fitting.map((d) => d.id).sort((a, b) => score(b) - score(a));
}
