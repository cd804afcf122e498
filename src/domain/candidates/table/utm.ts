/** Zones of the UTM grid as they are written, and the coordinate systems that they mean. */

export interface UtmZone {
  readonly zone: number;
  readonly south: boolean;
}

/**
 * Reads "16N", "16 S", "UTM 16", "Zone 16 North", "16T". A letter is the latitude band (C to M south, N to X north), save that
 * S also stands for "south": with a northing that lies in band S (32 to 40 degrees north, which crosses the oaks' country) it
 * is the band. Without a letter the northern hemisphere is meant. Null where it is no zone.
 *
 * @param northing metres, NaN not known.
 */
export function utmZone(text: string, northing: number): UtmZone | null {
  const m = /^(?:UTM\s*)?(?:zone\s*)?(?:no\.?\s*)?[:#]?\s*(\d{1,2})\s*([A-Z]*)\.?$/i.exec(
    text.normalize('NFKC').trim(),
  );
  const zone = Number(m?.[1]);
  if (!m || zone < 1 || zone > 60) return null;
  const letter = m[2].toUpperCase();
  if (letter === '' || /^N(ORTH(ERN)?)?$/.test(letter)) return { zone, south: false };
  if (/^SOUTH(ERN)?$/.test(letter)) return { zone, south: true };
  if (!/^[C-HJ-NP-X]$/.test(letter)) return null;
  // Northings at 32 and 40 degrees north: 3.54 and 4.43 million metres.
  if (letter === 'S') return { zone, south: !(northing > 3_500_000 && northing < 4_460_000) };
  return { zone, south: letter < 'N' };
}

export type Datum = 'WGS84' | 'NAD83' | 'NAD27';

/** EPSG code of the zone: WGS 84 326xx and 327xx, NAD83 269xx, NAD27 267xx (EPSG registry); null where there is none. */
export function utmCode({ zone, south }: UtmZone, datum: Datum): string | null {
  const two = String(zone).padStart(2, '0');
  if (datum === 'WGS84') return `EPSG:${south ? 327 : 326}${two}`;
  if (south || zone > (datum === 'NAD83' ? 23 : 22)) return null;
  return `EPSG:${datum === 'NAD83' ? 269 : 267}${two}`;
}

/** A datum as written: one of three, an EPSG code, '' for "not recorded", null for what is not understood. */
export function datumOf(text: string): Datum | `EPSG:${number}` | '' | null {
  const plain = text.toUpperCase().replace(/[\s_.\-()]/g, '');
  if (plain === '' || /^(UNKNOWN|NOTRECORDED|NONE|NA|N\/A|\?)$/.test(plain)) return '';
  if (/WGS(19)?84|EPSG:*4326|CRS84|WORLDGEODETICSYSTEM(19)?84/.test(plain)) return 'WGS84';
  if (/NAD(19)?83|EPSG:*4269|NORTHAMERICANDATUM(OF)?1983/.test(plain)) return 'NAD83';
  if (/NAD(19)?27|EPSG:*4267|NORTHAMERICANDATUM(OF)?1927/.test(plain)) return 'NAD27';
  const code = /^(?:EPSG:*)(\d{4,6})$/.exec(plain);
  return code ? `EPSG:${Number(code[1])}` : null;
}
