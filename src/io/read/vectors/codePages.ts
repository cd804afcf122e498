/** Texts of old tables in the code pages that their makers had, by the names and numbers under which files give them. */

import { PieceDecoder } from '../text.ts';

export interface CodePage {
  readonly name: string;
  /** Never fails: what has no meaning in the code page becomes U+FFFD. */
  decode(bytes: Uint8Array): string;
}

// Bytes 0x80 to 0xff of the code pages of DOS, which the platform does not know (Python's codecs cp437 and cp850).
const DOS: Readonly<Record<string, string>> = {
  '437':
    'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0',
  '850':
    'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐└┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u00ad±‗¾¶§÷¸°¨·¹³²■\u00a0',
};

/** Numbers of code pages that have another name with the platform. */
const BY_NUMBER: Readonly<Record<string, string>> = {
  '65001': 'utf-8',
  '866': 'ibm866',
  '874': 'windows-874',
  '932': 'shift_jis',
  '936': 'gbk',
  '949': 'euc-kr',
  '950': 'big5',
  '54936': 'gb18030',
  '20866': 'koi8-r',
  '21866': 'koi8-u',
};

/**
 * A code page by what a .cpg or another label says: "UTF-8", "1252", "ANSI 1252", "ISO 88591", "8859-1", "CP850", "LDID/87",
 * "Big5"; null where it is not known.
 */
export function codePage(label: string): CodePage | null {
  const plain = label
    .replace(/^\ufeff/, '')
    .trim()
    .toLowerCase();
  const ldid = /^ldid[/ ](\d+)$/.exec(plain)?.[1];
  if (ldid !== undefined) return codePageOfDbf(Number(ldid));
  const latin = /^(?:iso[ _-]?)?8859[ _-]?(\d{1,2})$/.exec(plain)?.[1];
  if (latin !== undefined) return of(`iso-8859-${latin}`);
  const number = /^(?:ansi|oem|cp|windows|ibm|ms|x-cp)?[ _-]?(\d{3,5})$/.exec(plain)?.[1];
  if (number !== undefined) {
    if (number in DOS) return dos(number);
    if (number.startsWith('2859') && number.length === 5) return of(`iso-8859-${number[4]}`);
    return of(BY_NUMBER[number] ?? `windows-${number}`);
  }
  return of(plain === 'utf' || plain === 'utf_8' ? 'utf-8' : plain);
}

/**
 * A code page by the language driver byte of a .dbf (dBase and FoxPro; listed with the driver of GDAL for shapefiles); null
 * for 0 and unknown ones.
 */
export function codePageOfDbf(driver: number): CodePage | null {
  const label = BY_DRIVER[driver];
  return label === undefined ? null : codePage(label);
}

const BY_DRIVER: Readonly<Record<number, string>> = {
  0x01: '437', 0x02: '850', 0x03: '1252', 0x08: '865', 0x09: '437', 0x0a: '850', 0x0b: '437', 0x0d: '437', 0x0e: '850',
  0x0f: '437', 0x10: '850', 0x11: '437', 0x12: '850', 0x13: '932', 0x14: '850', 0x15: '437', 0x16: '850', 0x18: '437',
  0x19: '437', 0x1a: '850', 0x1b: '437', 0x1c: '863', 0x1d: '850', 0x1f: '852', 0x22: '852', 0x23: '852', 0x24: '860',
  0x25: '850', 0x26: '866', 0x37: '850', 0x40: '852', 0x4d: '936', 0x4e: '949', 0x4f: '950', 0x50: '874', 0x57: '1252',
  0x58: '1252', 0x59: '1252', 0x64: '852', 0x65: '866', 0x66: '865', 0x78: '950', 0x79: '949', 0x7a: '936', 0x7b: '932',
  0x7c: '874', 0x86: '737', 0x87: '852', 0x88: '857', 0xc8: '1250', 0xc9: '1251', 0xca: '1254', 0xcb: '1253', 0xcc: '1257',
}; // prettier-ignore

function of(label: string): CodePage | null {
  let decoder: TextDecoder;
  try {
    decoder = new TextDecoder(label);
  } catch (error) {
    // RangeError: a label that the platform does not know.
    if (!(error instanceof RangeError)) throw error;
    return null;
  }
  // By the standard, Latin-1 is read as Windows-1252, of which it is a part.
  if (decoder.encoding === 'windows-1252')
    return {
      name: 'Windows-1252',
      decode: (bytes) => new PieceDecoder('windows-1252').decode(bytes, true),
    };
  return { name: decoder.encoding.toUpperCase(), decode: (bytes) => decoder.decode(bytes) };
}

function dos(number: string): CodePage {
  const high = DOS[number];
  return {
    name: `code page ${number}`,
    decode: (bytes) =>
      Array.from(bytes, (b) => (b < 0x80 ? String.fromCharCode(b) : high[b - 0x80])).join(''),
  };
}
