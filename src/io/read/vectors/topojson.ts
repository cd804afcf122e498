import type { feature } from 'topojson-client';
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import { crsFrom } from '../../crs/crs.ts';
import { featuresOf, memberCrs } from './geojsonValue.ts';
import { decodeText } from '../text.ts';
import type { Content, Format, Opened, Part, ReadOptions } from '../types.ts';
import { KINDS } from './shapes.ts';
import { vectorOpened } from './vector.ts';
import { whole } from '../whole.ts';

type Topology = Parameters<typeof feature>[0];

const TITLE = 'TopoJSON';
const MOST_DEEP = 8;
/** Positions that the arcs of one object may unfold to: a few arcs that are used over and over could fill the memory. */
const MOST_POSITIONS = 50e6;

/** TopoJSON: shapes that share their borders. Each of its objects is a part. */
export const topojson: Format = {
  id: 'topojson',
  title: TITLE,
  extensions: ['topojson'],
  recognises(head, name) {
    const text = decodeText(head).text.trimStart();
    return text.startsWith('{') && (/"type"\s*:\s*"Topology"/.test(text) || /\.topojson$/i.test(name));
  },
  async read(source, options) {
    const bytes = await whole(source);
    if (!bytes.ok) return bytes;
    const { text, notes } = decodeText(bytes.value, source.name);
    let value: unknown;
    try {
      value = JSON.parse(text);
    } catch (error) {
      return fail(
        'format',
        source.name,
        `is not valid JSON (${error instanceof Error ? error.message : String(error)})`,
        'Get the file again, or check where it was edited.',
      );
    }
    const opened = await topologyOpened(value, source.name, options);
    return opened.ok ? ok({ ...opened.value, notes: [...notes, ...opened.value.notes] }) : opened;
  },
};

class Unsound extends Error {}

export async function topologyOpened(
  value: unknown,
  file: string,
  options: ReadOptions,
): Promise<Result<Opened>> {
  const damaged = (what: string) =>
    fail('format', file, `is no sound TopoJSON (${what})`, 'Get the file again.');
  const topology = value as Partial<Topology> | null;
  if (topology?.type !== 'Topology') return damaged('it is no Topology');
  const { objects } = topology;
  if (typeof objects !== 'object' || Array.isArray(objects)) return damaged('it has no objects');
  const names = Object.keys(objects);
  if (names.length === 0) return fail('content', file, 'holds no features', 'Check the file.');
  const name = options.part ?? names.find((n) => membersOf(objects[n]).length > 0) ?? names[0];
  if (!names.includes(name))
    return fail('content', file, `holds no "${name}"`, `Choose one of: ${names.join(', ')}.`);
  const parts: Part[] = names.map((n) => ({
    name: n,
    kind: kindOf(objects[n]) ?? 'polygon',
    count: membersOf(objects[n]).length,
  }));
  let raw;
  try {
    check(topology, objects[name]);
    const { feature } = await import('topojson-client');
    raw = featuresOf(feature(topology as Topology, objects[name]));
  } catch (error) {
    if (!(error instanceof Unsound)) throw error;
    return damaged(`${error.message}, in "${name}"`);
  }
  const crs = await (options.crs ? crsFrom(options.crs, file) : memberCrs(value, file));
  if (!crs.ok) return crs;
  return vectorOpened({ file, format: TITLE, raw: raw ?? [], crs: crs.value, parts, part: name }, options);
}

/** The geometries of an object of the file, whatever they are. */
const membersOf = (object: unknown): readonly unknown[] => {
  const { type, geometries } = (object ?? {}) as { type?: unknown; geometries?: unknown };
  if (type !== 'GeometryCollection') return [object];
  return Array.isArray(geometries) ? (geometries as unknown[]) : [];
};

/** The kind of most of them. */
function kindOf(object: unknown): Content['kind'] | null {
  const counts = new Map<Content['kind'], number>();
  for (const member of membersOf(object)) {
    const kind = KINDS.get((member as { type?: unknown } | null)?.type);
    if (kind) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  }
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null;
}

/** The library trusts what it reads: arcs that are not there, lists that are none, and numbers that are not. */
function check({ arcs, transform }: Partial<Topology>, object: unknown): void {
  const numbers = (list: unknown, n: number): boolean =>
    Array.isArray(list) && list.length >= n && list.slice(0, n).every((x) => typeof x === 'number');
  if (transform && !(numbers(transform.scale, 2) && numbers(transform.translate, 2)))
    throw new Unsound('its transform is not of numbers');
  if (!Array.isArray(arcs)) throw new Unsound('it has no list of arcs');
  for (const [i, arc] of (arcs as unknown[]).entries())
    if (!Array.isArray(arc) || !arc.every((p) => numbers(p, 2)))
      throw new Unsound(`arc ${i} is not a list of positions`);
  let positions = 0;
  const arcIndexes = (list: unknown, levels: number): void => {
    if (!Array.isArray(list)) throw new Unsound('a shape has no list of arcs');
    for (const entry of list as unknown[]) {
      if (levels > 0) arcIndexes(entry, levels - 1);
      else {
        const arc = typeof entry === 'number' ? arcs[entry < 0 ? ~entry : entry] : undefined;
        if (!arc) throw new Unsound(`it uses an arc that is not there (${JSON.stringify(entry)})`);
        positions += arc.length;
        if (positions > MOST_POSITIONS) throw new Unsound('its arcs unfold to more positions than fit');
      }
    }
  };
  const look = (g: unknown, depth: number): void => {
    if (depth > MOST_DEEP) throw new Unsound('collections in collections without end');
    if (typeof g !== 'object' || g === null) throw new Unsound('a shape is none');
    const shape = g as {
      type?: unknown;
      arcs?: unknown;
      coordinates?: unknown;
      geometries?: unknown;
    };
    if (shape.type === 'GeometryCollection') {
      if (!Array.isArray(shape.geometries)) throw new Unsound('a collection has no list');
      for (const inner of shape.geometries) look(inner, depth + 1);
    } else if (shape.type === 'Point') {
      if (!numbers(shape.coordinates, 2)) throw new Unsound('a point has no position');
    } else if (shape.type === 'MultiPoint') {
      if (!Array.isArray(shape.coordinates) || !shape.coordinates.every((p) => numbers(p, 2)))
        throw new Unsound('a point has no position');
    } else {
      const levels = { LineString: 0, MultiLineString: 1, Polygon: 1, MultiPolygon: 2 }[String(shape.type)];
      if (levels !== undefined) arcIndexes(shape.arcs, levels);
    }
  };
  look(object, 0);
}
