import { decodeText } from '../text.ts';

/** Path of the first file of a zip, from the first bytes; '' where they are no zip with a file. */
export function firstInZip(head: Uint8Array): string {
  if (head.length < 30 || head[0] !== 0x50 || head[1] !== 0x4b || head[2] !== 3 || head[3] !== 4) return '';
  return decodeText(head.subarray(30, 30 + head[26] + 256 * head[27])).text;
}
