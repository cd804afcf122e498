/** What the header of a column says: the field's words, a unit, a hemisphere, a zone of the grid, a datum. */

/** A unit at the end of a header ("accuracy_ft", "DBH (in)") or of a cell ("22 in"), in metres. */
const LENGTHS: Readonly<Record<string, number>> = {
  m: 1,
  meter: 1,
  meters: 1,
  metre: 1,
  metres: 1,
  ft: 0.3048,
  feet: 0.3048,
  foot: 0.3048,
  "'": 0.3048,
  cm: 0.01,
  centimeters: 0.01,
  centimetres: 0.01,
  mm: 0.001,
  in: 0.0254,
  inch: 0.0254,
  inches: 0.0254,
  '"': 0.0254,
  '″': 0.0254,
};

/** Metres in a unit of length as written; null where it is none. */
export const metresIn = (unit: string): number | null =>
  Object.hasOwn(LENGTHS, unit.toLowerCase()) ? LENGTHS[unit.toLowerCase()] : null;

/** "Lat (deg min)", "Longitude DMS": how degrees are written is seen in the cells. */
const NOTATION = /^(deg|degs|degree|degrees|min|mins|minutes|sec|secs|seconds|dms|ddm|dmm|dm|dd|decimal)$/;

function wordsOf(header: string): string[] {
  const words = splitWords(header);
  const [first = ''] = words;
  return /^(gps|lat|lo?n)/.test(first) ? words.filter((w, i) => i === 0 || !NOTATION.test(w)) : words;
}

const splitWords = (header: string): string[] =>
  header
    .normalize('NFKC')
    .replace(/([\p{Ll}\p{N}])(\p{Lu})/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{N}"'″]+/u)
    .filter(Boolean);

/** Header without case, signs and a unit at its end, and the unit ('' none). */
export function plainHeader(header: string): { readonly plain: string; readonly unit: string } {
  const words = wordsOf(header);
  const last = words[words.length - 1] ?? '';
  const isUnit = words.length > 1 && metresIn(last) !== null && words[words.length - 2] !== 'in';
  return { plain: (isUnit ? words.slice(0, -1) : words).join(''), unit: isUnit ? last : '' };
}

/** "Lat N", "Longitude (W)": the words without the letter, and the sign that it gives; null where there is no letter. */
export function hemisphereHeader(header: string): { readonly plain: string; readonly sign: 1 | -1 } | null {
  const words = wordsOf(header);
  const letter = words.pop() ?? '';
  const plain = words.join('');
  if (/^lat/.test(plain) && /^(n|s|north|south)$/.test(letter))
    return { plain, sign: letter.startsWith('s') ? -1 : 1 };
  if (/^lo?ng?/.test(plain) && /^(e|w|east|west)$/.test(letter))
    return { plain, sign: letter.startsWith('w') ? -1 : 1 };
  return null;
}

/** "Lat deg", "lon_min", "Longitude seconds": one of several columns that hold degrees, minutes and seconds apart; else null. */
export function angleHeader(
  header: string,
): { readonly axis: 'lon' | 'lat'; readonly part: 'degrees' | 'minutes' | 'seconds' } | null {
  const words = splitWords(header).filter((w) => w !== 'gps');
  if (words.length !== 2) return null;
  const axis = /^lat(itude)?$/.test(words[0])
    ? 'lat'
    : /^(lon|long|lng|longitude)$/.test(words[0])
      ? 'lon'
      : null;
  const part = /^(d|deg|degs|degrees?)$/.test(words[1])
    ? 'degrees'
    : /^(m|min|mins|minutes?)$/.test(words[1])
      ? 'minutes'
      : /^(s|sec|secs|seconds?)$/.test(words[1])
        ? 'seconds'
        : null;
  return axis && part ? { axis, part } : null;
}

/** "UTM 16N E", "Easting (zone 16)", "NAD83 UTM17 northing": axis, zone and datum; null where it names no axis of a UTM grid. */
export function gridHeader(
  header: string,
): { readonly axis: 'easting' | 'northing'; readonly zone: string; readonly datum: string } | null {
  const text = header
    .normalize('NFKC')
    .replace(/([\p{Ll}])(\p{Lu})/gu, '$1 $2')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, ' ')
    .trim();
  const datum = /\b(nad ?83|nad ?27|wgs ?84)\b/.exec(text)?.[1] ?? '';
  let rest = text.replace(/\b(nad ?83|nad ?27|wgs ?84)\b/, ' ');
  // "16n" is a zone with its letter; "16 n" may be a zone and the axis.
  const zone = /(?:\butm ?|\bzone ?|\bz|\b)(\d{1,2})([c-hj-np-x])?\b/.exec(rest);
  const known = zone !== null && Number(zone[1]) >= 1 && Number(zone[1]) <= 60;
  if (known) rest = rest.replace(zone[0], ' utm ');
  if (!/\butm|east|north/.test(rest)) return null;
  const words = rest
    .replace(/\butm(?=[enxy]\b)/, 'utm ')
    .split(' ')
    .filter((w) => w !== '' && !/^(utm|zone|coord|coordinate|coords|m|meters|metres|grid)$/.test(w));
  let letter = known ? (zone[2] ?? '') : '';
  if (words.length === 2 && known && letter === '' && /^[c-hj-np-x]$/.test(words[0]))
    letter = words.shift() ?? '';
  if (words.length === 0 && /^[en]$/.test(letter)) {
    words.push(letter);
    letter = '';
  }
  if (words.length !== 1) return null;
  const axis = /^(e|east|easting|x)$/.test(words[0])
    ? 'easting'
    : /^(n|north|northing|y)$/.test(words[0])
      ? 'northing'
      : null;
  if (!axis) return null;
  return {
    axis,
    zone: known ? `${zone[1]}${letter.toUpperCase()}` : '',
    datum: datum.toUpperCase().replace(' ', ''),
  };
}
