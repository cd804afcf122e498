/** Two coordinates in one cell. */
import { degrees } from './degrees.ts';

/** First and second value as x and y: degrees (lon, lat), or metres in a zone of the UTM grid. */
export interface Pair {
  readonly x: number;
  readonly y: number;
  /** "16N", "" for degrees. */
  readonly zone: string;
}

const NUMBER = String.raw`[+-]?\d+(?:[.,]\d+)?`;
const GRID = new RegExp(
  String.raw`^(?:UTM\s*)?(?:zone\s*)?(\d{1,2})\s*([C-HJ-NP-X])?[\s,;:]+(${NUMBER})\s*m?\s*E?[\s,;]+(${NUMBER})\s*m?\s*N?$`,
  'i',
);
const GRID_LAST = new RegExp(
  String.raw`^(?:UTM\s*)?(${NUMBER})\s*m?\s*E?[\s,;]+(${NUMBER})\s*m?\s*N?[\s,;]+(?:UTM\s*)?(?:zone\s*)?(\d{1,2})\s*([C-HJ-NP-X])?$`,
  'i',
);

/**
 * Reads "38.1234, -84.5678" (latitude first, as ISO 6709 has it, unless letters or a first value over 90 say otherwise),
 * "N 38 7.4 W 84 34.1", "38,1234; -84,5678", "geo:38.1,-84.5", "16S 684000 4205000", "684000E 4205000N 16N". Null where it
 * is none of these.
 */
export function pairOf(text: string): Pair | null {
  const clean = text
    .normalize('NFKC')
    .trim()
    .replace(/^geo:/i, '')
    .replace(/^[([{]\s*|\s*[)\]}]$/g, '')
    .replace(/[−–]/g, '-');
  if (clean.length > 120 || !/\d/.test(clean)) return null;
  const first = GRID.exec(clean);
  const last = first ? null : GRID_LAST.exec(clean);
  const grid =
    (first && inGrid(first[1], first[2], first[3], first[4])) ??
    (last && inGrid(last[3], last[4], last[1], last[2]));
  if (grid) return grid;
  const halves = split(clean);
  if (!halves) return null;
  const [a, b] = halves.map(degrees);
  if (!(Math.abs(a) <= 180) || !(Math.abs(b) <= 180)) return null;
  const eastFirst =
    /[EW]/i.test(halves[0]) || /[NS]/i.test(halves[1]) || (Math.abs(a) > 90 && Math.abs(b) <= 90);
  return eastFirst ? { x: a, y: b, zone: '' } : { x: b, y: a, zone: '' };
}

function inGrid(zone: string, letter: string | undefined, east: string, north: string): Pair | null {
  if (Number(zone) < 1 || Number(zone) > 60) return null;
  const [x, y] = [east, north].map((t) => Number(t.replace(',', '.')));
  // Eastings and northings as a zone has them: "38,1234; -84,5678" is no zone 38.
  if (!(x >= 100_000 && x < 1_000_000 && y >= 0 && y <= 10_000_000)) return null;
  return { x, y, zone: zone + (letter ?? '').toUpperCase() };
}

function split(text: string): readonly [string, string] | null {
  const two = (parts: readonly string[]): readonly [string, string] | null =>
    parts.length === 2 && parts.every((p) => /\d/.test(p)) ? [parts[0].trim(), parts[1].trim()] : null;
  const letters = text.match(/[NSEW]/gi) ?? [];
  if (letters.length === 2) {
    const cut = /^[NSEW]/i.test(text) ? text.slice(1).search(/[NSEW]/i) + 1 : text.search(/[NSEW]/i) + 1;
    return two([text.slice(0, cut).replace(/[\s,;/]+$/, ''), text.slice(cut).replace(/^[\s,;/]+/, '')]);
  }
  if (letters.length > 0) return null;
  for (const separator of [/\s*[;/|]\s*/, /,\s+/]) {
    const parts = text.split(separator);
    if (parts.length > 1) return two(parts);
  }
  const commas = text.split(',');
  // One comma may also be that of a single decimal number.
  if (commas.length === 2) return /^[^\s.]*\.[^\s.]*,[^\s.]*\.\S*$|,-/.test(text) ? two(commas) : null;
  // Four runs of digits with three commas: decimal commas on both sides.
  if (commas.length === 4) return two([`${commas[0]},${commas[1]}`, `${commas[2]},${commas[3]}`]);
  // One degree sign is one value in degrees and minutes: 82° 17.3'.
  return /[°º]/.test(text) && text.split(/[°º]/).length < 3 ? null : two(text.split(/\s+/));
}
