/** The letters and digits of a datum's name, without the "D_" that some programs put first: names are compared by these. */
export function plainName(name: string): string {
  return name
    .toLowerCase()
    .replace(/^d_/, '')
    .replace(/[^a-z0-9]/g, '');
}

/** Plain names of WGS 84, and of NAD83 in all its realisations. */
export const isWgs84Name = (name: string): boolean => /^(wgs(19)?84|worldgeodeticsystem(of)?1984)/.test(name);
export const isNad83Name = (name: string): boolean =>
  /^(d?northamerican(datum)?(of)?1983|nad(19)?83)/.test(name);
