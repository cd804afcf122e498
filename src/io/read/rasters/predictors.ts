/** What is done to cells after unpacking: byte order, differences undone, half floats. */
import { undoFloat32 } from './floatPlanes.ts';

/** Big-endian cells to the machine's order (all machines in use are little-endian), in place. */
export function swap(data: ArrayBuffer, bytes: number): void {
  if (bytes === 1) return;
  const all = new Uint8Array(data);
  for (let i = 0; i + bytes <= all.length; i += bytes)
    for (let a = i, b = i + bytes - 1; a < b; a++, b--) {
      const held = all[a];
      all[a] = all[b];
      all[b] = held;
    }
}

/** TIFF 6.0, section 14, "horizontal differencing": each cell of a row was stored less its left neighbour's bits. */
export function undoDifferences(data: ArrayBuffer, bits: number, width: number, samples: number): void {
  const words = { 8: Uint8Array, 16: Uint16Array, 32: Uint32Array }[bits];
  const row = width * samples;
  if (words) {
    const cells = new words(data, 0, Math.floor((data.byteLength * 8) / bits));
    for (let start = 0; start < cells.length; start += row) {
      const end = Math.min(cells.length, start + row);
      for (let i = start + samples; i < end; i++) cells[i] += cells[i - samples];
    }
  } else if (bits === 64) {
    const cells = new BigUint64Array(data, 0, Math.floor(data.byteLength / 8));
    for (let start = 0; start < cells.length; start += row) {
      const end = Math.min(cells.length, start + row);
      for (let i = start + samples; i < end; i++) cells[i] += cells[i - samples];
    }
  } else throw new Error(`predictor 2 for ${bits}-bit cells`);
}

/**
 * TIFF technical note 3, "floating point predictor": the bytes of a row were laid out by significance, the highest of all
 * cells first, and each was stored less its left neighbour. Gives cells in the machine's order, in place.
 */
export function undoFloatDifferences(data: ArrayBuffer, bits: number, width: number, samples: number): void {
  const all = new Uint8Array(data);
  const bytes = bits / 8;
  const n = width * samples;
  if (bytes === 4 && samples === 1) {
    if (!undoFloat32(data, width)) undoFloat32Differences(data, width);
    return;
  }
  const row = new Uint8Array(n * bytes);
  for (let start = 0; start + row.length <= all.length; start += row.length) {
    row.set(all.subarray(start, start + row.length));
    for (let i = samples; i < row.length; i++) row[i] += row[i - samples];
    for (let b = 0; b < bytes; b++) {
      const plane = (bytes - 1 - b) * n;
      for (let i = 0, at = start + b; i < n; i++, at += bytes) all[at] = row[plane + i];
    }
  }
}

/**
 * The same for the usual case, and where there are no vectors (see floatPlanes.ts): the four planes of a row are summed side
 * by side, two in a word, as if each began at nought; then each goes on from the end of the one before.
 */
export function undoFloat32Differences(data: ArrayBuffer, n: number): void {
  const all = new Uint8Array(data);
  const cells = new Uint32Array(data, 0, all.length >> 2);
  const row = new Uint32Array(n);
  for (let at = 0; at + n <= cells.length; at += n) {
    const at0 = 4 * at;
    const [at1, at2, at3] = [at0 + n, at0 + 2 * n, at0 + 3 * n];
    let planes02 = 0;
    let planes13 = 0;
    for (let i = 0; i < n; i++) {
      planes02 = (planes02 + ((all[at0 + i] << 16) | all[at2 + i])) & 0xff00ff;
      planes13 = (planes13 + ((all[at1 + i] << 16) | all[at3 + i])) & 0xff00ff;
      row[i] = (planes02 << 8) | planes13;
    }
    const end0 = planes02 >> 16;
    const end1 = end0 + (planes13 >> 16);
    const end2 = end1 + planes02;
    const before13 = ((end0 & 255) << 16) | (end2 & 255);
    const before2 = (end1 & 255) << 8;
    for (let i = 0; i < n; i++) {
      const cell = row[i];
      cells[at + i] =
        (((cell & 0xff00ff00) + before2) & 0xff00ff00) | (((cell & 0xff00ff) + before13) & 0xff00ff);
    }
  }
}

/** 16-bit floats (IEEE 754 binary16) as 32-bit ones. */
export function halves(stored: Uint16Array): Float32Array {
  return Float32Array.from(stored, (h) => {
    const sign = h & 0x8000 ? -1 : 1;
    const exponent = (h >> 10) & 31;
    const fraction = h & 1023;
    if (exponent === 31) return fraction ? NaN : sign * Infinity;
    return exponent === 0 ? sign * fraction * 2 ** -24 : sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
  });
}

/** TIFF 6.0, section 21: brightness and two differences of colour (ITU-R BT.601) to red, green and blue, in place. */
export function coloursFromYCbCr(cells: Uint8Array): void {
  const part = (x: number): number => Math.max(0, Math.min(255, Math.round(x)));
  for (let i = 0; i + 2 < cells.length; i += 3) {
    const [y, cb, cr] = [cells[i], cells[i + 1] - 128, cells[i + 2] - 128];
    cells[i] = part(y + 1.402 * cr);
    cells[i + 1] = part(y - 0.344136 * cb - 0.714136 * cr);
    cells[i + 2] = part(y + 1.772 * cb);
  }
}
