/** LZW as TIFF 6.0 has it (section 13): codes of 9 to 12 bits, the highest bit first, one code longer a step early. */
const CLEAR = 256;
const END = 257;
const MOST_CODES = 4096;

/**
 * At most `most` bytes; fewer where the data end before. Throws at a code that cannot be.
 *
 * Not the library's (geotiff 3.0.5): on a damaged block its table of strings can run in a circle, and it then gathers bytes
 * until the process is killed.
 */
export function unpackLzw(packed: Uint8Array, most: number): Uint8Array {
  const out = new Uint8Array(most);
  // Each code is the string of an earlier code and one byte more.
  const before = new Uint16Array(MOST_CODES);
  const last = new Uint8Array(MOST_CODES);
  const first = new Uint8Array(MOST_CODES);
  const length = new Uint16Array(MOST_CODES);
  for (let c = 0; c < CLEAR; c++) {
    last[c] = first[c] = c;
    length[c] = 1;
  }
  let at = 0;
  let read = 0;
  let bits = 9;
  let next = END + 1;
  let old = -1;
  let held = 0;
  let have = 0;
  while (at < most) {
    while (have < bits) {
      if (read === packed.length) return out.subarray(0, at);
      held = ((held & 0xfff) << 8) | packed[read++];
      have += 8;
    }
    have -= bits;
    const code = (held >> have) & ((1 << bits) - 1);
    if (code === END) break;
    if (code === CLEAR) {
      bits = 9;
      next = END + 1;
      old = -1;
      continue;
    }
    if (code > next || (old < 0 && code > CLEAR) || (code === next && next === MOST_CODES))
      throw new Error(`a block has the code ${code}, which it does not explain`);
    if (old >= 0 && next < MOST_CODES) {
      before[next] = old;
      last[next] = first[code === next ? old : code];
      first[next] = first[old];
      length[next] = length[old] + 1;
      next++;
    }
    const end = at + length[code];
    for (let p = end - 1, c = code; p >= at; p--, c = before[c]) if (p < most) out[p] = last[c];
    at = end;
    old = code;
    if (next === (1 << bits) - 1 && bits < 12) bits++;
  }
  return out.subarray(0, Math.min(at, most));
}
