import { describe, expect, it } from 'vitest';
import { codePage, codePageOfDbf } from '../../../src/io/read/vectors/codePages.ts';

// Bytes by Python 3.11: text.encode(codec).hex(), for labels as files give them.
const CASES = [
  ['UTF-8', 'Chêne Größe €', '4368c3aa6e65204772c3b6c39f6520e282ac'],
  ['utf8', 'Größe', '4772c3b6c39f65'],
  ['65001', 'ê', 'c3aa'],
  ['1252', 'Chêne – €', '4368ea6e6520962080'],
  ['ANSI 1252', 'ê', 'ea'],
  ['ISO-8859-1', 'Chêne', '4368ea6e65'],
  ['ISO 88591', 'Chêne', '4368ea6e65'],
  ['88591', 'Chêne', '4368ea6e65'],
  ['8859-1', 'Chêne', '4368ea6e65'],
  ['ISO8859-2', 'Łódź', 'a3f364bc'],
  ['28592', 'Łódź', 'a3f364bc'],
  ['CP850', 'Chêne Größe ×', '4368886e6520477294e165209e'],
  ['850', 'ê', '88'],
  ['OEM 437', 'Chêne ½', '4368886e6520ab'],
  ['1251', 'Дуб', 'c4f3e1'],
  ['Windows-1250', 'Łódź', 'a3f3649f'],
  ['CP866', 'Дуб', '84e3a1'],
  ['KOI8-R', 'Дуб', 'e4d5c2'],
  ['Big5', '橡樹', 'bef3bef0'],
  ['950', '橡樹', 'bef3bef0'],
  ['936', '橡树', 'cff0caf7'],
  ['932', 'どんぐり', '82c782f182ae82e8'],
  ['949', '참나무', 'c2fcb3aab9ab'],
  ['LDID/87', 'ê', 'ea'],
  ['LDID/201', 'Дуб', 'c4f3e1'],
] as const;

const bytes = (hex: string): Uint8Array => Uint8Array.from(Buffer.from(hex, 'hex'));

describe('a code page by its label', () => {
  it.each(CASES)('%s: %s', (label, text, hex) => {
    expect(codePage(label)?.decode(bytes(hex))).toBe(text);
    expect(codePage(`\ufeff ${label.toLowerCase()}\r\n`)?.decode(bytes(hex))).toBe(text);
  });

  it('that is not known: none', () => {
    for (const label of ['', 'Nonsense 7', '99999', 'LDID/0', 'LDID/250', 'constructor', '8859-77'])
      expect(codePage(label)).toBeNull();
  });
});

describe('a code page by the byte of a .dbf', () => {
  it('gives the one of its system; none for 0 and unknown ones', () => {
    expect([0x01, 0x02, 0x03, 0x57, 0xc9, 0x13].map((b) => codePageOfDbf(b)?.name)).toEqual([
      'code page 437',
      'code page 850',
      'Windows-1252',
      'Windows-1252',
      'WINDOWS-1251',
      'SHIFT_JIS',
    ]);
    expect([0, 0xff].map((b) => codePageOfDbf(b))).toEqual([null, null]);
  });
});
