/**
 * Kinds of ground by land-cover code, for the evidence of origin. Codes of the National Land Cover Database (USGS; editions
 * from 2001 on). Woody wetlands (90) count as forest: bottomland oaks stand there. Class 21 (developed, open space) counts
 * as developed; it also follows country roads and lies beside old field edges, so its evidence is kept weak.
 */
export const GROUNDS = [
  'water',
  'developed open',
  'developed',
  'barren',
  'forest',
  'open',
  'pasture',
  'crop',
  'wetland',
] as const;
export type Ground = (typeof GROUNDS)[number];

interface NlcdClass {
  readonly value: number;
  readonly name: string;
  readonly ground: Ground;
}
const nlcd = (value: number, name: string, ground: Ground): NlcdClass => ({ value, name, ground });

/** Legend of the National Land Cover Database. */
export const NLCD: readonly NlcdClass[] = [
  nlcd(11, 'Open water', 'water'),
  nlcd(12, 'Perennial ice or snow', 'barren'),
  nlcd(21, 'Developed, open space', 'developed open'),
  nlcd(22, 'Developed, low intensity', 'developed'),
  nlcd(23, 'Developed, medium intensity', 'developed'),
  nlcd(24, 'Developed, high intensity', 'developed'),
  nlcd(31, 'Barren land', 'barren'),
  nlcd(41, 'Deciduous forest', 'forest'),
  nlcd(42, 'Evergreen forest', 'forest'),
  nlcd(43, 'Mixed forest', 'forest'),
  nlcd(51, 'Dwarf scrub', 'open'),
  nlcd(52, 'Shrub or scrub', 'open'),
  nlcd(71, 'Grassland or herbaceous', 'open'),
  nlcd(72, 'Sedge or herbaceous', 'open'),
  nlcd(73, 'Lichens', 'open'),
  nlcd(74, 'Moss', 'open'),
  nlcd(81, 'Pasture or hay', 'pasture'),
  nlcd(82, 'Cultivated crops', 'crop'),
  nlcd(90, 'Woody wetlands', 'forest'),
  nlcd(95, 'Emergent herbaceous wetlands', 'wetland'),
];
const BY_CODE = new Map(NLCD.map((c) => [c.value, c]));

/** Kind of ground of an NLCD code; null for a code that the legend does not have. */
export const groundOf = (code: number): Ground | null => BY_CODE.get(code)?.ground ?? null;

/** Values that stand for no cell in most files, whether or not they say so (from memory). */
const isBackground = (value: number): boolean => value === 0 || value === 127 || value >= 250;

/** Words in the names of classes, first that fits wins ("developed forest" is not forest). */
const WORDS: ReadonlyArray<readonly [Ground, RegExp]> = [
  ['developed open', /developed,? ?\/?open|open space|lawn|golf/],
  ['developed', /develop|urban|built|impervious|\broads?\b|settlement|residential|artificial/],
  ['forest', /forest|wood|\btrees?\b|swamp|plantation/],
  ['wetland', /wetland|marsh|\b(bogs?|fens?)\b/],
  ['water', /water|lake|river|ocean|sea\b/],
  ['pasture', /pasture|\bhay\b|meadow|alfalfa/],
  [
    'crop',
    /crop|cultivat|\bcorn\b|\brice\b|soy|wheat|agricult|orchard|vineyard|cotton|tobacco|fallow|grains?\b/,
  ],
  ['open', /grass|shrub|scrub|herb|prairie|savanna|moss|lichen|sedge/],
  ['barren', /barren|\bbare\b|rock|\bsand|\bice\b|snow|clearcut|\bmines?\b|quarr/],
];

/** Kind of ground that the name of a class speaks of; null where it speaks of none. */
export function groundOfName(name: string): Ground | null {
  const plain = name.toLowerCase();
  return WORDS.find(([, words]) => words.test(plain))?.[0] ?? null;
}

export type FoundValues = ReadonlyArray<{ readonly value: number; readonly share: number }>;
export type ClassNames = ReadonlyArray<{ readonly value: number; readonly name: string }>;

/**
 * Whether values that were found in a raster are those of the NLCD legend: all of them its codes (but for usual marks of
 * nothing), and where the file names them, no name that speaks of another kind of ground. Another legend with the same
 * numbers and no names cannot be told.
 * @param found null where there are too many values for classes.
 */
export function isNlcd(found: FoundValues | null, names: ClassNames = []): boolean {
  if (found === null) return false;
  const nameOf = new Map(names.map((n) => [n.value, n.name]));
  return found.every(({ value }) => {
    if (isBackground(value)) return true;
    const known = BY_CODE.get(value);
    const said = groundOfName(nameOf.get(value) ?? '');
    return known !== undefined && (said === null || said === groundOfName(known.name));
  });
}

const isGround = (text: string | undefined): text is Ground =>
  text !== undefined && (GROUNDS as readonly string[]).includes(text);

/** Ground classes that the user set, by value as text; a text that is no ground counts as nothing. */
export type SetClasses = Readonly<Record<string, string>>;

/** Kind of ground of a value: what the user set, else what the NLCD legend says where the raster is one of it. */
export function groundOfValue(value: number, set: SetClasses, legend: boolean): Ground | null {
  const own = set[String(value)];
  if (own !== undefined) return isGround(own) ? own : null;
  return legend ? groundOf(value) : null;
}

/** Index into GROUNDS by value 0-255; 255 for values without a kind. Handed to the raster's counting of cells by class. */
export function groundTable(set: SetClasses = {}, legend = true): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, value) => {
    const ground = groundOfValue(value, set, legend);
    return ground === null ? 255 : GROUNDS.indexOf(ground);
  });
}

export interface ClassRow {
  readonly value: number;
  /** From the file, else from the NLCD legend where the raster is one of it; '' = not known. */
  readonly name: string;
  /** Share of the cells that have a value. */
  readonly share: number;
  /** What it counts as. */
  readonly ground: Ground | null;
  /** What it counts as unless the user sets it. */
  readonly usual: Ground | null;
  /** As the user set it; undefined where not set. */
  readonly own: string | undefined;
  /** What the file's own name for it speaks of: an offer for a value that counts as nothing. */
  readonly offer: Ground | null;
}

/**
 * The table of classes for the screen, in the order of the values found (largest share first).
 * @param entry of the layer; `found` from its figures (RasterFigures.classes); `names` from the file (Opened.classes).
 */
export function classTable(
  entry: { readonly classes?: SetClasses | undefined },
  found: FoundValues,
  names: ClassNames,
): ClassRow[] {
  const legend = isNlcd(found, names);
  const nameOf = new Map(names.map((n) => [n.value, n.name]));
  const set = entry.classes ?? {};
  return found.map(({ value, share }) => {
    // Many programs write the number where there is no name.
    const said = nameOf.get(value) ?? '';
    const own = said === String(value) ? '' : said;
    return {
      value,
      name: own || (legend ? (BY_CODE.get(value)?.name ?? '') : ''),
      share,
      ground: groundOfValue(value, set, legend),
      usual: legend ? groundOf(value) : null,
      own: set[String(value)],
      offer: groundOfName(own),
    };
  });
}

/**
 * What to say of values that count as nothing, marks of nothing aside; null where all count as something. Values that the
 * user set to nothing are no trouble.
 */
export function uncounted(
  entry: { readonly classes?: SetClasses | undefined },
  found: FoundValues | null,
  names: ClassNames,
): string | null {
  if (found === null)
    return 'holds too many different values for classes of land cover: nothing is read of it. Check the file and the band';
  const lost = classTable(entry, found, names).filter(
    (r) => r.ground === null && r.own === undefined && !isBackground(r.value),
  );
  if (lost.length === 0) return null;
  const share = lost.reduce((sum, r) => sum + r.share, 0);
  const values = [...lost.map((r) => r.value)].sort((a, b) => a - b);
  const some = values.slice(0, 12).join(', ') + (values.length > 12 ? ' and more' : '');
  const percent = 100 * share < 1 ? 'under 1 %' : `${Math.round(100 * share)} %`;
  return isNlcd(found, names)
    ? `values ${some} count as nothing (${percent} of its cells)`
    : `is not read by the legend of the National Land Cover Database, since its values are not those: ${some} count as nothing (${percent} of its cells) until you set what each stands for`;
}

/**
 * Shares of developed and of forest land from counts of cells by kind of ground (row-major n x GROUNDS.length).
 * NaN where no cell was counted.
 */
export function groundShares(counts: Uint32Array): { developed: Float64Array; forest: Float64Array } {
  const k = GROUNDS.length;
  const n = counts.length / k;
  const developed = new Float64Array(n).fill(NaN);
  const forest = new Float64Array(n).fill(NaN);
  const [open, built, woods] = [
    GROUNDS.indexOf('developed open'),
    GROUNDS.indexOf('developed'),
    GROUNDS.indexOf('forest'),
  ];
  for (let i = 0; i < n; i++) {
    let total = 0;
    for (let c = 0; c < k; c++) total += counts[i * k + c];
    if (total === 0) continue;
    developed[i] = (counts[i * k + open] + counts[i * k + built]) / total;
    forest[i] = counts[i * k + woods] / total;
  }
  return { developed, forest };
}
