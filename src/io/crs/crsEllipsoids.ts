/**
 * Ellipsoids by their names in PROJ strings: the list of PROJ 9.1.1 (proj -le; MIT licence). The projection library lacks some of
 * them and takes WGS 84 in their place without a word, so that they are always spelled out to it.
 */
const ELLIPSOIDS: Readonly<
  Record<string, { readonly a: number; readonly rf?: number; readonly b?: number }>
> = {
  MERIT: { a: 6378137, rf: 298.257 },
  SGS85: { a: 6378136, rf: 298.257 },
  GRS80: { a: 6378137, rf: 298.257222101 },
  IAU76: { a: 6378140, rf: 298.257 },
  airy: { a: 6377563.396, rf: 299.3249646 },
  'APL4.9': { a: 6378137, rf: 298.25 },
  NWL9D: { a: 6378145, rf: 298.25 },
  mod_airy: { a: 6377340.189, b: 6356034.446 },
  andrae: { a: 6377104.43, rf: 300 },
  danish: { a: 6377019.2563, rf: 300 },
  aust_SA: { a: 6378160, rf: 298.25 },
  GRS67: { a: 6378160, rf: 298.247167427 },
  GSK2011: { a: 6378136.5, rf: 298.2564151 },
  bessel: { a: 6377397.155, rf: 299.1528128 },
  bess_nam: { a: 6377483.865, rf: 299.1528128 },
  clrk66: { a: 6378206.4, b: 6356583.8 },
  clrk80: { a: 6378249.145, rf: 293.4663 },
  clrk80ign: { a: 6378249.2, rf: 293.4660212936269 },
  CPM: { a: 6375738.7, rf: 334.29 },
  delmbr: { a: 6376428, rf: 311.5 },
  engelis: { a: 6378136.05, rf: 298.2566 },
  evrst30: { a: 6377276.345, rf: 300.8017 },
  evrst48: { a: 6377304.063, rf: 300.8017 },
  evrst56: { a: 6377301.243, rf: 300.8017 },
  evrst69: { a: 6377295.664, rf: 300.8017 },
  evrstSS: { a: 6377298.556, rf: 300.8017 },
  fschr60: { a: 6378166, rf: 298.3 },
  fschr60m: { a: 6378155, rf: 298.3 },
  fschr68: { a: 6378150, rf: 298.3 },
  helmert: { a: 6378200, rf: 298.3 },
  hough: { a: 6378270, rf: 297 },
  intl: { a: 6378388, rf: 297 },
  krass: { a: 6378245, rf: 298.3 },
  kaula: { a: 6378163, rf: 298.24 },
  lerch: { a: 6378139, rf: 298.257 },
  mprts: { a: 6397300, rf: 191 },
  new_intl: { a: 6378157.5, b: 6356772.2 },
  plessis: { a: 6376523, b: 6355863 },
  PZ90: { a: 6378136, rf: 298.25784 },
  SEasia: { a: 6378155, b: 6356773.3205 },
  walbeck: { a: 6376896, b: 6355834.8467 },
  WGS60: { a: 6378165, rf: 298.3 },
  WGS66: { a: 6378145, rf: 298.25 },
  WGS72: { a: 6378135, rf: 298.26 },
  WGS84: { a: 6378137, rf: 298.257223563 },
  sphere: { a: 6370997, b: 6370997 },
};

/** A PROJ string with its ellipsoid in numbers; null where it names one that is not known. */
export function spelledOut(definition: string): string | null {
  const name = /\+ellps=(\S+)/.exec(definition)?.[1];
  if (name === undefined) return definition;
  const figure = Object.entries(ELLIPSOIDS).find(([key]) => key.toLowerCase() === name.toLowerCase())?.[1];
  if (!figure) return null;
  const second = figure.b !== undefined ? `+b=${figure.b}` : `+rf=${figure.rf}`;
  // What a string gives in numbers goes before a name.
  return definition.replace(/\+ellps=\S+/, /\+a=/.test(definition) ? '' : `+a=${figure.a} ${second}`);
}
