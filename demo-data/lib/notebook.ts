/** The forester's notebook: records of trees, with invented people, owners and stands. */
import { type Local, toLocal, toLonLat } from './frame.ts';
import { hash2, type Rng } from './rng.ts';
import type { Kind } from './truth.ts';

export interface Tree {
  id: string;
  name: string;
  species: string;
  lon: number;
  lat: number;
  accuracy: number;
  dbh: number;
  form: number | '';
  crown: number | '';
  crop: number | '';
  owner: string;
  permission: 'granted' | 'asked' | 'unknown' | 'refused' | '';
  stand: string;
  setting: string;
  identifiedBy: string;
  keyUsed: string;
  establishmentMeans: string;
  degreeOfEstablishment: string;
  regeneration: string;
  date: string;
  notes: string;
  /** Its truth: not in the record. */
  kind: Kind;
}

export const COLUMNS = [
  'id',
  'name',
  'species',
  'lon',
  'lat',
  'accuracy_m',
  'dbh_cm',
  'form',
  'crown',
  'last_crop',
  'owner',
  'permission',
  'stand',
  'setting',
  'identified_by',
  'key_used',
  'establishmentMeans',
  'degreeOfEstablishment',
  'regeneration',
  'date',
  'notes',
  'provenance',
] as const;
export const PROVENANCE = 'invented demonstration record';

export const row = (t: Tree): Array<string | number> => [
  t.id,
  t.name,
  t.species,
  t.lon.toFixed(7),
  t.lat.toFixed(7),
  t.accuracy,
  t.dbh,
  t.form,
  t.crown,
  t.crop,
  t.owner,
  t.permission,
  t.stand,
  t.setting,
  t.identifiedBy,
  t.keyUsed,
  t.establishmentMeans,
  t.degreeOfEstablishment,
  t.regeneration,
  t.date,
  t.notes,
  PROVENANCE,
];

type Permission = Exclude<Tree['permission'], ''>;
/** Plainly invented owners, each with one answer for all of its land. */
const OWNERS: Record<Permission, readonly string[]> = {
  granted: [
    'R. Foolscap',
    'Blotter Family Farm',
    'Town of Figment',
    'Q. Vellum',
    'Margin Rod and Gun Club',
    'Notional Grove Keepers',
    'E. Parchment',
    'Sketch Valley Grange',
    'H. Tracing',
    'L. Rubric',
    'Paperwick Water Board',
    'N. Stencil',
  ],
  asked: ['P. Eraser', 'O. Quire', 'Inkblot Timber Works'],
  unknown: ['W. Doodle', 'S. Ditto', ''],
  refused: ['X. Nope', 'Keepout Estate', 'B. Gatepost'],
};
export const REFUSING = OWNERS.refused;
const SHARE: ReadonlyArray<readonly [Permission, number]> = [
  ['granted', 0.64],
  ['asked', 0.76],
  ['unknown', 0.89],
  ['refused', 1],
];
/** Side of a parcel in one hand, metres. */
const PARCEL = 2400;

const parcel = ([u, v]: Local): [number, number] => [Math.floor(u / PARCEL), Math.floor(v / PARCEL)];

export function ownerAt(p: Local, only?: Permission): { owner: string; permission: Permission } {
  const [x, y] = parcel(p);
  const h = hash2(x, y, 201);
  const permission = only ?? SHARE.find(([, below]) => h < below)![0];
  const list = OWNERS[permission];
  return { owner: list[Math.floor(hash2(x, y, 202) * list.length)], permission };
}

const LAND = [
  'Foolscap',
  'Vellum',
  'Blotter',
  'Margin',
  'Sketch',
  'Stencil',
  'Rubric',
  'Fable',
  'Whimsy',
  'Guesswork',
  'Draft',
  'Easel',
  'Quire',
  'Folio',
];
const FORM = ['Ridge', 'Hollow', 'Bench', 'Knob', 'Cove', 'Gap', 'Spur'];
export function standAt(p: Local): string {
  const [x, y] = parcel(p);
  return `${LAND[Math.floor(hash2(x, y, 203) * LAND.length)]} ${FORM[Math.floor(hash2(x, y, 204) * FORM.length)]} ${x}-${y}`;
}

const LOOKS = [
  'Broad',
  'Leaning',
  'Two-stem',
  'Straight',
  'Low-limbed',
  'Tall',
  'Old',
  'Burly',
  'Fluted',
  'Lightning-struck',
  'Wide-crowned',
  'Clean-boled',
  'Grey',
  'Mossy',
];
const SPOTS = [
  'above the spring',
  'by the stone wall',
  'on the bench',
  'at the saddle',
  'below the ledge',
  'by the deer stand',
  'at the trail bend',
  'over the seep',
  'on the nose',
  'by the old grade',
  'at the line fence',
  'above the ford',
  'beside the boulder',
  'near the log landing',
];
export const COMMON: Record<string, string> = {
  'Quercus alba': 'white oak',
  'Quercus rubra': 'red oak',
  'Quercus velutina': 'black oak',
  'Quercus montana': 'chestnut oak',
  'Quercus macrocarpa': 'bur oak',
  'Quercus stellata': 'post oak',
};
const PEOPLE = ['J. Placeholder', 'M. Specimen', 'T. Exemplar', 'A. N. Other-Sample'];
const KEYS = ['leaf, acorn and bark', 'leaf and acorn', 'bark and twig', 'winter buds', ''];
const REMARKS = [
  '',
  '',
  '',
  'deer sign',
  'some dieback in the top',
  'squirrels busy',
  'good bole',
  'grapevine to cut',
  'check caps in August',
  'wet ground in spring',
  'snag nearby, mind the dead limbs',
  'light shade from neighbours',
  'nice round crown',
];

/** A record with everything a careful visitor would write of a tree in the woods; `own` replaces what is special. */
export function treeAt(place: Local, species: string, random: Rng, own: Partial<Tree> = {}): Tree {
  const [lon, lat] = toLonLat(place, 7);
  const look = random.pick(LOOKS);
  const spot = random.pick(SPOTS);
  const record: Tree = {
    id: '',
    name: `${look} ${COMMON[species] ?? 'oak'} ${spot}`,
    species,
    lon,
    lat,
    accuracy: random.int(3, 12),
    dbh: random.int(32, 84),
    form: random.int(1, 3),
    crown: random.int(1, 2),
    crop: random.int(0, 2),
    ...ownerAt(place),
    stand: standAt(place),
    setting: '',
    identifiedBy: random.pick(PEOPLE),
    keyUsed: random.pick(KEYS),
    establishmentMeans: random.chance(0.7) ? 'native' : '',
    degreeOfEstablishment: random.chance(0.5) ? 'native' : '',
    regeneration: random.pick(['seedlings', 'seedlings and saplings', 'saplings', 'none', '']),
    date: `202${random.int(3, 5)}-${random.pick(['08', '09', '10'])}-${String(random.int(1, 28)).padStart(2, '0')}`,
    notes: random.pick(REMARKS),
    kind: 'woods',
  };
  return { ...record, ...own };
}

export const placeOf = (t: Tree): Local => toLocal([t.lon, t.lat]);
