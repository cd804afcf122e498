/** The one order in which the map is drawn, bottom first. Every layer of the style belongs to one of these by its id. */
export const ORDER = [
  'paper',
  'basemap',
  'counties',
  'states',
  'state names',
  'raster',
  'surface',
  'zone shade',
  'evidence ground',
  'evidence cells',
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
  'zone chosen',
  'site fill',
  'site edge',
  'stand fill',
  'stand edge',
  'disc fill',
  'disc edge',
  'evidence area',
  'evidence circle',
  'evidence line',
  'evidence row',
  'evidence link casing',
  'evidence link',
  'evidence foot',
  'evidence tree',
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
  'outline fill',
  'outline line',
  'outline spot',
  'outline name',
  'stand chosen',
  'zone best',
  'zone share',
  'evidence label',
  'photo',
  'drawing fill',
  'drawing line',
  'drawing corner',
  'draft line',
  'draft from',
  'pointed',
  'pointed label',
  'draft',
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

/** Layers of the plan that are drawn with lines: among one another the user may set their order. */
const CONTEXT = [rank('range band'), rank('zone name')] as const;

/**
 * The layers in their order; those of one slot stay as they were.
 * @param levels place of a layer of the plan in the user's own order, bottom first. Empty: all by their slots, in which lines
 *   of one layer may lie over fills of another.
 */
export function inOrder<L extends { readonly id: string }>(
  layers: readonly L[],
  levels: ReadonlyMap<string, number> = new Map(),
): L[] {
  const [from, to] = CONTEXT;
  const key = ({ id }: L): readonly [number, number, number] => {
    const slot = rank(id);
    const level = slot >= from && slot <= to ? levels.get(id.slice(slotOf(id).length + 1)) : undefined;
    return level === undefined ? [slot, 0, 0] : [from, level, slot];
  };
  const keys = new Map(layers.map((l) => [l, key(l)]));
  const of = (l: L): readonly [number, number, number] => keys.get(l) ?? [0, 0, 0];
  return [...layers].sort((a, b) => {
    const [x, y] = [of(a), of(b)];
    return x[0] - y[0] || x[1] - y[1] || x[2] - y[2];
  });
}
