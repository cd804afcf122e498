import type { Attributes } from '../base/geo.ts';

/** Kinds of place that tell something about who planted what, as the notebook and the settings layer name them. */
export const SETTINGS = [
  'burial ground',
  'orchard',
  'old field',
  'field edge',
  'opening',
  'woodland',
  'yard',
  'campus',
  'park',
  'golf course',
  'street verge',
  'plantation',
] as const;
export type Setting = (typeof SETTINGS)[number];

/** First that fits wins: "park cemetery" is a burial ground, "woodland park" a park. */
const WORDS: ReadonlyArray<readonly [Setting, RegExp]> = [
  ['burial ground', /burial|cemeter|graveyard|grave_?yard|churchyard|church yard/],
  ['plantation', /plantation|planted|nursery|arboretum|botanic/],
  ['orchard', /orchard/],
  ['street verge', /street|verge|roadside|median|right.of.way|boulevard|avenue|parking/],
  ['golf course', /golf/],
  ['campus', /campus|school|universit|college|hospital|courthouse/],
  ['park', /\bpark\b|playground|recreation|picnic|campground/],
  ['yard', /\byard|lawn|garden|homestead|residential|farmyard|house/],
  ['old field', /old.?field|abandoned|fallow|idle/],
  ['field edge', /field.?edge|edge of|fence.?(row|line)|hedgerow|field.?margin|forest.?edge|wood.?edge/],
  ['opening', /opening|glade|savanna|prairie|barren|clearing|pasture|meadow/],
  ['woodland', /wood|forest|timber|bottomland|grove/],
];

/** The kind of place that a word or phrase names; null where it names none of them. */
export function settingOf(text: string): Setting | null {
  const plain = text.toLowerCase();
  return WORDS.find(([, words]) => words.test(plain))?.[0] ?? null;
}

/** Attributes that usually name the kind, best first; the rest of an area's texts follow. */
const FIELDS = [
  'setting',
  'kind',
  'type',
  'class',
  'landuse',
  'leisure',
  'amenity',
  'use',
  'category',
  'natural',
  'name',
];

/** The kind of an area from its attributes, as an index into SETTINGS, -1 where none of them names a kind. */
export function settingOfArea(attributes: Attributes): number {
  const keys = Object.keys(attributes);
  const ordered = [
    ...FIELDS.flatMap((f) => keys.filter((k) => k.toLowerCase() === f)),
    ...keys.filter((k) => !FIELDS.includes(k.toLowerCase())),
  ];
  for (const key of ordered) {
    const value = attributes[key];
    const setting = typeof value === 'string' ? settingOf(value) : null;
    if (setting) return SETTINGS.indexOf(setting);
  }
  return -1;
}
