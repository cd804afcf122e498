import type { Area, Attributes, MultiPolygon } from '../base/geo.ts';
import { fail, ok, type Note, type Result } from '../base/result.ts';
import { areaIndex } from './areaIndex.ts';
import { dissolve } from './dissolve.ts';
import { overlaps } from './overlaps.ts';

/** Seed-collection zones of the user, dissolved by key (dissolve.ts). */
export interface Zone {
  readonly key: string;
  readonly name: string;
  readonly area: Area;
}

/** How two zones touch. 'corner': only a shared point; does not count as adjacent unless the user says so. */
export type Contact = 'edge' | 'corner';

export interface ZoneAdjacency {
  /** Pairs of indices into the zones list with a < b. */
  readonly pairs: ReadonlyArray<{
    readonly a: number;
    readonly b: number;
    readonly contact: Contact;
    readonly sharedMetres: number;
  }>;
  /** Snap distance used, metres. */
  readonly snap: number;
  /** Set where the outlines are too tangled to tell which zones touch; there are no pairs then. */
  readonly gaveUp?: true;
}

export interface ZonesRead {
  /** In the order in which their keys first appear. */
  readonly zones: readonly Zone[];
  /** Attribute that told zones apart, and the one that named them ('' = the key is the name). */
  readonly keyField: string;
  readonly nameField: string;
  readonly notes: readonly Note[];
}

/** Attribute names that usually hold a zone's key, best first (compared without case, spaces and underscores). */
const KEYS = [
  'zone',
  'zonekey',
  'zoneid',
  'zonecode',
  'zonenumber',
  'zoneno',
  'zonenum',
  'seedzone',
  'seedcollectionzone',
  'collectionzone',
  'code',
  'key',
  'id',
  'objectid',
  'fid',
];
const NAMES = ['zonename', 'name', 'title', 'label', 'description'];

const plain = (field: string): string => field.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');
const textOf = (value: Attributes[string] | undefined): string =>
  value === null || value === undefined ? '' : String(value).trim();

/**
 * Zones of a polygon layer: polygons with one key become one zone (their areas are put side by side, inner boundaries are
 * kept and do no harm to lookups or to adjacency). Polygons without a key belong to no zone and are noted.
 *
 * Fails when there is no polygon, no attribute to tell zones apart, or the named attribute does not exist.
 */
export function zonesFrom(
  areas: readonly Area[],
  keyField = '',
  nameField = '',
  where = 'zones',
): Result<ZonesRead> {
  if (areas.length === 0)
    return fail('content', where, 'there is no polygon in the zones', 'Choose a file with zone polygons.');
  const fields = [...new Set(areas.flatMap((a) => Object.keys(a.attributes)))];
  for (const field of [keyField, nameField]) {
    if (field !== '' && !fields.includes(field)) {
      return fail(
        'content',
        where,
        `the zones have no attribute "${field}"`,
        `Choose one of: ${fields.join(', ') || '(there are none)'}.`,
      );
    }
  }
  const key = keyField || guessKey(areas, fields);
  if (key === '') {
    return fail(
      'content',
      where,
      'no attribute tells the zones apart',
      'Name the attribute that holds the zone key.',
    );
  }
  const name = nameField || (fields.find((f) => f !== key && NAMES.includes(plain(f))) ?? '');
  const notes: Note[] = [];
  if (keyField === '') notes.push({ where, what: `attribute "${key}" is taken as the zone key` });

  const byKey = new Map<string, { name: string; attributes: Attributes; polygons: MultiPolygon[number][] }>();
  let keyless = 0;
  for (const area of areas) {
    const k = textOf(area.attributes[key]);
    if (k === '') {
      keyless++;
      continue;
    }
    const zone = byKey.get(k) ?? { name: '', attributes: area.attributes, polygons: [] };
    zone.name ||= textOf(area.attributes[name]);
    zone.polygons.push(...area.geometry);
    byKey.set(k, zone);
  }
  if (byKey.size === 0) {
    return fail(
      'content',
      where,
      `attribute "${key}" is empty in every polygon`,
      'Name another attribute as the zone key.',
    );
  }
  if (keyless > 0) {
    notes.push({
      where,
      what: `${keyless} of ${areas.length} polygons have no value in "${key}" and belong to no zone`,
    });
  }
  const { shapes } = dissolve([...byKey.values()].map((z) => z.polygons));
  const zones = [...byKey].map(([k, z], i) => ({
    key: k,
    name: z.name || k,
    area: { geometry: shapes[i], attributes: z.attributes },
  }));
  notes.push(...overlapNotes(zones, where));
  return ok({ zones, keyField: key, nameField: name, notes });
}

/** Pairs of zones listed one by one. */
const MOST_LISTED = 10;

function overlapNotes(zones: readonly Zone[], where: string): Note[] {
  const found = overlaps(zones.map((z) => z.area.geometry));
  const notes = found.slice(0, MOST_LISTED).map(({ a, b, squareMetres, lon, lat }) => {
    const place = `near ${lon.toFixed(4)}, ${lat.toFixed(4)}`;
    return {
      where,
      what:
        a === b
          ? `polygons of zone ${zones[a].key} lie over one another by ${areaText(squareMetres)} ${place}`
          : `zones ${zones[a].key} and ${zones[b].key} lie over one another by ${areaText(squareMetres)} ${place}; what stands there is in ${zones[a].key}`,
    };
  });
  if (found.length > MOST_LISTED)
    notes.push({ where, what: `${found.length - MOST_LISTED} more pairs of zones lie over one another` });
  return notes;
}

const areaText = (squareMetres: number): string =>
  squareMetres < 1e6
    ? `${Math.max(1, Math.round(squareMetres / 1e4))} ha`
    : `${Number((squareMetres / 1e6).toPrecision(3))} km²`;

/** A usual name; else the only attribute; else the first whose values differ from polygon to polygon most. */
function guessKey(areas: readonly Area[], fields: readonly string[]): string {
  const distinct = (field: string): number =>
    new Set(areas.map((a) => textOf(a.attributes[field])).filter(Boolean)).size;
  for (const usual of KEYS) {
    const field = fields.find((f) => plain(f) === usual && distinct(f) > 0);
    if (field !== undefined) return field;
  }
  const filled = fields.filter((f) => distinct(f) > 0);
  // A name tells zones apart as well as a number does, where nothing better is there.
  return filled.sort((a, b) => distinct(b) - distinct(a))[0] ?? '';
}

export interface ZoneIndex {
  /** Index into the zones list, -1 outside all. Where zones overlap, the first of the list. */
  readonly zoneOf: (lon: number, lat: number) => number;
  readonly zonesOf: (lon: Float64Array, lat: Float64Array) => Int32Array;
}

/** Which zone holds a place (see areaIndex for how a place on a boundary is treated). */
export function zoneIndex(zones: readonly Zone[]): ZoneIndex {
  const { areaOf } = areaIndex(zones.map((z) => z.area.geometry));
  return {
    zoneOf: areaOf,
    zonesOf: (lon, lat) => {
      const found = new Int32Array(lon.length);
      for (let i = 0; i < lon.length; i++) found[i] = areaOf(lon[i], lat[i]);
      return found;
    },
  };
}
