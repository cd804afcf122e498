/** The one order in which the map is drawn, bottom first. Every layer of the style belongs to one of these by its id. */
export const ORDER = [
  'paper',
  'basemap',
  'counties',
  'states',
  'state names',
  'raster',
  'range band',
  'setting fill',
  'water fill',
  'range edge',
  'setting edge',
  'water edge',
  'road',
  'building',
  'street tree',
  'home band',
  'zone line',
  'home line',
  'zone name',
  'disc fill',
  'disc edge',
  'route casing',
  'route line',
  'route arrow',
  'point other',
  'point out',
  'point check',
  'point eligible',
  'reserve',
  'route end',
  'member',
  'site',
  'pointed',
  'pointed label',
] as const;

export type Slot = (typeof ORDER)[number];

/** What a click may select, first choice first where two lie equally near. */
export const CLICKABLE: readonly Slot[] = [
  'member',
  'reserve',
  'point eligible',
  'point check',
  'point out',
  'point other',
];

/** Id of a style layer: its slot, and what tells it from others in the same slot (a layer of the plan). */
export const layerId = (slot: Slot, of = ''): string => (of === '' ? slot : `${slot}/${of}`);

export const slotOf = (id: string): Slot => id.split('/', 1)[0] as Slot;

/** Position of an id in the order. An id without a slot is a mistake of the style. */
export function rank(id: string): number {
  const at = ORDER.indexOf(slotOf(id));
  if (at < 0) throw new Error(`no place in the order of the map for "${id}"`);
  return at;
}

/** The layers in their order; those of one slot stay as they were. */
export const inOrder = <L extends { readonly id: string }>(layers: readonly L[]): L[] =>
  [...layers].sort((a, b) => rank(a.id) - rank(b.id));
