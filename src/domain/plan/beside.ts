/** Files that say something of another one and stand beside it: which belong to which, by their names. */

/** Ending -> endings of the files that it may belong to; null: any. The longest ending that fits is the one that counts. */
const SIDES: Readonly<Record<string, readonly string[] | null>> = {
  dbf: ['shp'],
  shx: ['shp'],
  cpg: ['shp'],
  qix: ['shp'],
  sbn: ['shp'],
  sbx: ['shp'],
  qpj: ['shp'],
  'shp.xml': ['shp'],
  tfw: ['tif', 'tiff'],
  tifw: ['tif', 'tiff'],
  tfwx: ['tif', 'tiff'],
  'vat.dbf': ['tif', 'tiff'],
  ovr: ['tif', 'tiff'],
  msk: ['tif', 'tiff'],
  csvt: ['csv', 'tsv', 'txt'],
  prj: null,
  wld: null,
  'aux.xml': null,
};
/** Longest first: "shp.xml" before what might be called ".xml". */
const ENDINGS = Object.keys(SIDES).sort((a, b) => b.length - a.length);

interface Side {
  /** The name without the ending, as written. */
  readonly stem: string;
  /** With its full stop, as written. */
  readonly ending: string;
  readonly of: readonly string[] | null;
}

function sideOf(name: string): Side | null {
  const lower = name.toLowerCase();
  const ending = ENDINGS.find((e) => lower.endsWith(`.${e}`) && lower.length > e.length + 1);
  if (ending === undefined) return null;
  const cut = name.length - ending.length - 1;
  return { stem: name.slice(0, cut), ending: name.slice(cut), of: SIDES[ending] };
}

/** True for a name like "zones.prj" or "cover.tif.aux.xml": nothing by itself, unless it is a table (.dbf) alone. */
export const isSide = (name: string): boolean => sideOf(name) !== null;

const split = (name: string): { stem: string; ending: string } => {
  const dot = name.lastIndexOf('.');
  return dot > 0 ? { stem: name.slice(0, dot), ending: name.slice(dot + 1) } : { stem: name, ending: '' };
};

/** Whether `side` stands beside `main`: the same name up to the ending (or the whole name, as "a.tif.aux.xml"), in any case. */
export function belongsTo(side: string, main: string): boolean {
  const s = sideOf(side);
  if (!s || isSide(main)) return false;
  const m = split(main);
  if (s.of && !s.of.includes(m.ending.toLowerCase())) return false;
  const stem = s.stem.toLowerCase();
  return stem === main.toLowerCase() || stem === m.stem.toLowerCase();
}

/** What a side file is called once its main file is called `renamed`: "zones.prj" beside "zones 2.shp" is "zones 2.prj". */
export function besideName(side: string, main: string, renamed: string): string {
  const s = sideOf(side);
  if (!s) return side;
  return (s.stem.toLowerCase() === main.toLowerCase() ? renamed : split(renamed).stem) + s.ending;
}

export interface Group<F> {
  readonly main: F;
  readonly beside: readonly F[];
}

/** Files that belong together as one, and those beside which nothing of their own was brought. */
export function together<F extends { readonly name: string }>(
  files: readonly F[],
): { groups: Group<F>[]; loose: F[] } {
  const mains = files.filter((f) => !isSide(f.name));
  const groups = mains.map((main) => ({
    main,
    beside: files.filter((f) => f !== main && belongsTo(f.name, main.name)),
  }));
  const taken = new Set(groups.flatMap((g) => g.beside));
  return { groups, loose: files.filter((f) => isSide(f.name) && !taken.has(f)) };
}
