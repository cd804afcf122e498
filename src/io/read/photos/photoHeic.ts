/** Exif in HEIC and AVIF: boxes of ISO/IEC 14496-12, items of 23008-12. Sizes that lie end the walk; they are never waited for. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import { MOST_EXIF, MOST_STEPS, nameAt, viewOf, type PhotoFile, type Slices } from './photoBytes.ts';

const MOST_META = 16_000_000;

interface Box {
  readonly type: string;
  /** Content without the head, as places in the bytes at hand. */
  readonly start: number;
  readonly end: number;
}

export async function heicExif(slices: Slices, file: string): Promise<Result<PhotoFile>> {
  const damaged = fail(
    'format',
    file,
    'is a damaged picture (HEIC)',
    'Copy it again from the camera or phone.',
  );
  let at = 0;
  for (let step = 0; step < MOST_STEPS; step++) {
    const head = await slices(at, 16);
    if (!head.ok) return head;
    const box = boxAt(viewOf(head.value), 0, Infinity);
    // A box of no stated end is the last one.
    if (!box || (box.end === Infinity && box.type !== 'meta')) return damaged;
    const length = box.end - box.start;
    if (box.type !== 'meta') {
      at += box.end;
      continue;
    }
    if (length > MOST_META) return damaged;
    const meta = await slices(at + box.start, length);
    if (!meta.ok) return meta;
    if (meta.value.length !== length) return damaged;
    return fromMeta(meta.value.slice(), slices);
  }
  return damaged;
}

async function fromMeta(meta: Uint8Array, slices: Slices): Promise<Result<PhotoFile>> {
  const view = viewOf(meta);
  // After version and flags.
  const boxes = boxesIn(view, 4, meta.length);
  const size = sizeIn(view, boxes);
  const none = ok({ exif: null, ...size });
  const id = exifId(
    view,
    boxes.find((b) => b.type === 'iinf'),
  );
  const place =
    id === null
      ? null
      : placeOf(
          view,
          boxes.find((b) => b.type === 'iloc'),
          id,
        );
  if (!place || place.length < 8 || place.length > MOST_EXIF) return none;
  const idat = boxes.find((b) => b.type === 'idat');
  let item: Uint8Array;
  if (place.inMeta) {
    if (!idat) return none;
    item = meta.subarray(
      idat.start + place.offset,
      Math.min(idat.end, idat.start + place.offset + place.length),
    );
  } else {
    const read = await slices(place.offset, place.length);
    if (!read.ok) return read;
    item = read.value.slice();
  }
  if (item.length < 8) return none;
  // The item begins with the distance to the byte order mark (23008-12, annex A.2.1).
  const start = 4 + viewOf(item).getUint32(0);
  return ok({ exif: start < item.length ? item.subarray(start) : null, ...size });
}

/** @param end of what holds it; Infinity: not known. */
function boxAt(view: DataView, at: number, end: number): Box | null {
  if (at + 8 > Math.min(end, view.byteLength)) return null;
  let size = view.getUint32(at);
  let head = 8;
  if (size === 1) {
    if (at + 16 > view.byteLength) return null;
    size = view.getUint32(at + 8) * 2 ** 32 + view.getUint32(at + 12);
    head = 16;
  }
  const own = size === 0 ? end : at + size;
  if (own < at + head || own > end) return null;
  return { type: nameAt(view, at + 4), start: at + head, end: own };
}

function boxesIn(view: DataView, start: number, end: number): Box[] {
  const boxes: Box[] = [];
  for (let at = start; boxes.length < MOST_STEPS;) {
    const box = boxAt(view, at, end);
    if (!box) break;
    boxes.push(box);
    at = box.end;
  }
  return boxes;
}

/**
 * Size of the primary item, by the properties that belong to it (23008-12, 6.5.3 and 9.3); tiles have a size of their own.
 * Where that cannot be told, the largest size.
 */
function sizeIn(view: DataView, boxes: readonly Box[]): { width: number | null; height: number | null } {
  const none = { width: null, height: null };
  const iprp = boxes.find((b) => b.type === 'iprp');
  if (!iprp) return none;
  const inside = boxesIn(view, iprp.start, iprp.end);
  const ipco = inside.find((b) => b.type === 'ipco');
  const sizes = (ipco ? boxesIn(view, ipco.start, ipco.end) : []).map((box) =>
    box.type === 'ispe' && box.end - box.start >= 12
      ? { width: view.getUint32(box.start + 4), height: view.getUint32(box.start + 8) }
      : null,
  );
  const pitm = boxes.find((b) => b.type === 'pitm');
  const ipma = inside.find((b) => b.type === 'ipma');
  const own = pitm && ipma ? propertiesOf(view, ipma, primary(view, pitm)) : [];
  const known = own.map((i) => sizes[i - 1]).find((s) => s);
  if (known) return known;
  return sizes
    .filter((s) => s !== null)
    .reduce<{ width: number | null; height: number | null }>(
      (most, s) => (s.width * s.height > (most.width ?? 0) * (most.height ?? 0) ? s : most),
      none,
    );
}

/** Numbers in the box, none beyond its end. */
function cursor(view: DataView, box: Box) {
  let at = box.start;
  /** A number of 0, 1, 2, 4 or 8 bytes; not a number beyond the box. */
  const next = (bytes: number): number => {
    const from = at;
    at += bytes;
    if (at > box.end) return NaN;
    if (bytes === 0) return 0;
    if (bytes === 1) return view.getUint8(from);
    if (bytes === 2) return view.getUint16(from);
    if (bytes === 4) return view.getUint32(from);
    return bytes === 8 ? view.getUint32(from) * 2 ** 32 + view.getUint32(from + 4) : NaN;
  };
  const skip = (bytes: number): void => {
    at += bytes;
  };
  const left = (): boolean => at < box.end;
  return { next, skip, left };
}

function primary(view: DataView, pitm: Box): number {
  const { next, skip } = cursor(view, pitm);
  const version = next(1);
  skip(3);
  return next(version === 0 ? 2 : 4);
}

/** Places, from 1 on, of the properties that belong to an item. */
function propertiesOf(view: DataView, ipma: Box, item: number): number[] {
  const { next, skip, left } = cursor(view, ipma);
  const version = next(1);
  skip(2);
  const wide = (next(1) & 1) === 1;
  const count = next(4);
  for (let i = 0; i < count && left(); i++) {
    const id = next(version < 1 ? 2 : 4);
    const places = Array.from({ length: next(1) || 0 }, () => (wide ? next(2) & 0x7fff : next(1) & 0x7f));
    if (id === item) return places;
  }
  return [];
}

/** Number of the item of the type "Exif" in the list of items. */
function exifId(view: DataView, iinf: Box | undefined): number | null {
  if (!iinf || iinf.end - iinf.start < 8) return null;
  const wide = view.getUint8(iinf.start) > 0;
  for (const entry of boxesIn(view, iinf.start + (wide ? 8 : 6), iinf.end)) {
    if (entry.type !== 'infe' || entry.end - entry.start < 12) continue;
    const version = view.getUint8(entry.start);
    if (version < 2) continue;
    const idSize = version === 2 ? 2 : 4;
    if (nameAt(view, entry.start + 4 + idSize + 2) !== 'Exif') continue;
    return idSize === 2 ? view.getUint16(entry.start + 4) : view.getUint32(entry.start + 4);
  }
  return null;
}

interface Place {
  readonly offset: number;
  readonly length: number;
  /** Counted from the data box in "meta", not from the file's beginning. */
  readonly inMeta: boolean;
}

/** Where an item lies (14496-12, 8.11.3); null where it is not listed, or in several pieces. */
function placeOf(view: DataView, iloc: Box | undefined, wanted: number): Place | null {
  if (!iloc || iloc.end - iloc.start < 8) return null;
  const { next, skip, left } = cursor(view, iloc);
  const version = next(1);
  skip(3);
  const [sizes, more] = [next(1), next(1)];
  const [offsetSize, lengthSize, baseSize] = [sizes >> 4, sizes & 15, more >> 4];
  const indexSize = version > 0 ? more & 15 : 0;
  const count = next(version < 2 ? 2 : 4);
  for (let i = 0; i < count && left(); i++) {
    const id = next(version < 2 ? 2 : 4);
    const method = version > 0 ? next(2) & 15 : 0;
    skip(2);
    const base = next(baseSize);
    const extents = next(2);
    if (id !== wanted) {
      skip(extents * (indexSize + offsetSize + lengthSize));
      continue;
    }
    skip(indexSize);
    const [offset, length] = [base + next(offsetSize), next(lengthSize)];
    return extents === 1 && method < 2 && Number.isSafeInteger(offset) && Number.isSafeInteger(length)
      ? { offset, length, inMeta: method === 1 }
      : null;
  }
  return null;
}
