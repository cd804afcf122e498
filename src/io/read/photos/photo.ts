/**
 * Photos with a position (Exif, CIPA DC-008) in JPEG, HEIC, PNG and WebP: one photo is one point. Only the blocks of facts are
 * read, by slices; the picture is neither unpacked nor kept.
 */
import type { Attributes } from '../../../domain/base/geo.ts';
import { fail, type Note, type Result } from '../../../domain/base/result.ts';
import { readExif, type Exif } from './exif.ts';
import { photoKind, readPhotoFile } from './photoFile.ts';
import type { Format } from '../types.ts';
import { vectorOpened } from '../vectors/vector.ts';

const PLACE =
  "Give it to a tree on that tree's vetting sheet, or copy the original from the camera (messages often remove the position). For later photos, turn on location for the camera.";

export const photo: Format = {
  id: 'photo',
  title: 'photo with a position (JPEG, HEIC)',
  extensions: ['jpg', 'jpeg', 'heic', 'heif'],
  recognises: (head) => photoKind(head) !== null,
  async read(source, options) {
    const file = source.name;
    const head = await source.read(0, 32);
    if (!head.ok) return head;
    const kind = photoKind(head.value);
    if (!kind)
      return fail('format', file, 'is no picture of a kind that is read', 'Give a JPEG or HEIC photo.');
    const found = await readPhotoFile(source, kind);
    if (!found.ok) return found;
    const { width, height } = found.value;
    const exif = found.value.exif && readExif(found.value.exif);
    if (!exif) return fail('content', file, 'is a picture that holds no position', PLACE);
    const notes: Note[] = [];
    const position = positionOf(exif, file, notes);
    if (!position.ok) return position;
    const attributes: Attributes = {
      file,
      date: dateOf(exif),
      accuracy: positive(exif, 'HPositioningError'),
      ...directionOf(exif),
      altitude: altitudeOf(exif),
      width,
      height,
    };
    const raw = [{ geometry: { type: 'Point', coordinates: position.value }, properties: attributes }];
    return vectorOpened({ file, format: 'Photo', raw, crs: null, notes }, options);
  },
};

/** Longitude and latitude, degrees. */
function positionOf(exif: Exif, file: string, notes: Note[]): Result<[number, number]> {
  const lat = degrees(exif, 'Latitude');
  const lon = degrees(exif, 'Longitude');
  if (lat === null || lon === null)
    return fail('content', file, 'is a picture that holds no position', PLACE);
  if (!(Math.abs(lat) <= 90 && Math.abs(lon) <= 180))
    return fail('content', file, 'is a picture whose position is damaged', PLACE);
  if (lat === 0 && lon === 0)
    return fail('content', file, 'is a picture with the position 0, 0, which stands for none', PLACE);
  const note = (what: string): void => void notes.push({ where: file, what });
  const [north, east] = [letter(exif, 'LatitudeRef'), letter(exif, 'LongitudeRef')];
  if (!/^[NS]$/.test(north))
    note(`does not say whether it is north or south; it was read as ${lat < 0 ? 'south' : 'north'}`);
  if (!/^[EW]$/.test(east))
    note(`does not say whether it is east or west; it was read as ${lon < 0 ? 'west' : 'east'}`);
  if (letter(exif, 'Status') === 'V')
    note('was taken while the camera had no position of its own; it may be an old one');
  const datum = exif.get('MapDatum');
  if (
    typeof datum === 'string' &&
    datum !== '' &&
    !/^(WGS[-\s]?(19)?84|NAD[-\s]?(19)?83|ETRS.*|JGD.*|unknown)/i.test(datum)
  )
    note(
      `names the datum "${datum.slice(0, 40)}"; the position was read as WGS 84 and may be off by some hundred metres`,
    );
  const signed = (value: number, ref: string, minus: string, plus: string): number =>
    ref === minus ? -Math.abs(value) : ref === plus ? Math.abs(value) : value;
  return { ok: true, value: [signed(lon, east, 'W', 'E'), signed(lat, north, 'S', 'N')] };
}

/** Degrees, minutes and seconds to degrees (to 1 mm); a number that is none where a part is damaged, null where there is nothing. */
function degrees(exif: Exif, name: 'Latitude' | 'Longitude'): number | null {
  const parts = exif.get(name);
  if (!Array.isArray(parts) || parts.length === 0) return null;
  const [d, m = 0, s = 0] = parts as readonly number[];
  const size = Number((Math.abs(d) + Math.abs(m) / 60 + Math.abs(s) / 3600).toFixed(8));
  return d < 0 ? -size : size;
}

const letter = (exif: Exif, name: 'LatitudeRef' | 'LongitudeRef' | 'Status' | 'ImgDirectionRef'): string => {
  const value = exif.get(name);
  return typeof value === 'string' ? value.slice(0, 1).toUpperCase() : '';
};

function first(
  exif: Exif,
  name: 'HPositioningError' | 'ImgDirection' | 'Altitude' | 'AltitudeRef',
): number | null {
  const value = exif.get(name);
  const number = Array.isArray(value) ? (value as readonly number[])[0] : NaN;
  return Number.isFinite(number) ? number : null;
}

/** Metres; an error of 0 is not one that a receiver has. */
function positive(exif: Exif, name: 'HPositioningError'): number | null {
  const value = first(exif, name);
  return value !== null && value > 0 ? rounded(value) : null;
}

/** Metres above sea level, negative below. */
function altitudeOf(exif: Exif): number | null {
  const value = first(exif, 'Altitude');
  // 1 and, from Exif 3.0 on, 3: below.
  const below = [1, 3].includes(first(exif, 'AltitudeRef') ?? 0);
  return value === null ? null : rounded(below ? -Math.abs(value) : value);
}

/** Where the camera looked, degrees clockwise from the north that is named. */
function directionOf(exif: Exif): { direction: number | null; north: string | null } {
  const value = first(exif, 'ImgDirection');
  if (value === null || value < 0 || value > 360) return { direction: null, north: null };
  const ref = letter(exif, 'ImgDirectionRef');
  return { direction: rounded(value), north: ref === 'T' ? 'true' : ref === 'M' ? 'magnetic' : null };
}

/** As the camera wrote it, with the offset from UTC where it is recorded; else the satellites' time, which is UTC. */
function dateOf(exif: Exif): string | null {
  const pairs = [
    ['DateTimeOriginal', 'OffsetTimeOriginal'],
    ['DateTimeDigitized', 'OffsetTimeDigitized'],
    ['DateTime', 'OffsetTime'],
  ] as const;
  for (const [time, offset] of pairs) {
    const text = exif.get(time);
    const match =
      typeof text === 'string' ? /^(\d{4})[:-](\d\d)[:-](\d\d)[ T](\d\d:\d\d:\d\d)/.exec(text) : null;
    if (!match || match[1] === '0000') continue;
    const zone = exif.get(offset);
    const known = typeof zone === 'string' && /^[+-]\d\d:\d\d$/.test(zone) ? zone : '';
    return `${match[1]}-${match[2]}-${match[3]}T${match[4]}${known}`;
  }
  const day = exif.get('DateStamp');
  const date = typeof day === 'string' ? /^(\d{4})[:-](\d\d)[:-](\d\d)/.exec(day) : null;
  if (!date || date[1] === '0000') return null;
  const time = exif.get('TimeStamp');
  const parts = Array.isArray(time) ? (time as readonly number[]).slice(0, 3).map(Math.floor) : [];
  const valid = parts.length === 3 && parts.every((p, i) => p >= 0 && p < (i === 0 ? 24 : 61));
  const clock = parts.map((p) => String(p).padStart(2, '0')).join(':');
  return `${date[1]}-${date[2]}-${date[3]}${valid ? `T${clock}Z` : ''}`;
}

/** Fractions of whole numbers, without digits that mean nothing. */
const rounded = (value: number): number => Number(value.toPrecision(7));
