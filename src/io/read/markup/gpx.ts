/**
 * GPX 1.0 and 1.1: waypoints are points; tracks (a line for each segment) and routes are lines. WGS 84 by definition.
 * What the schema calls ele, hdop ... stays under that name: hdop is a ratio and says nothing in metres.
 */
import type { Attributes } from '../../../domain/base/geo.ts';
import { fail, type Note } from '../../../domain/base/result.ts';
import type { RawFeature } from '../vectors/geometry.ts';
import { choosePart } from '../parts.ts';
import type { Format, Part } from '../types.ts';
import { readXml, textOf, type XmlEvents, type XmlNode } from './xml.ts';
import { vectorOpened } from '../vectors/vector.ts';
import { isXml } from './xmlText.ts';

const POINT_FIELDS = ['name', 'desc', 'cmt', 'time', 'ele', 'sym', 'type', 'src', 'fix', 'sat', 'hdop'];
const LINE_FIELDS = ['name', 'desc', 'cmt', 'type', 'src'];
const NUMBERS: ReadonlySet<string> = new Set(['ele', 'hdop', 'sat']);

type Position = [number, number];
type Values = Record<string, string | number | null>;

interface Line {
  readonly attributes: Values;
  readonly lines: Position[][];
}

export const gpx: Format = {
  id: 'gpx',
  title: 'GPX',
  extensions: ['gpx'],
  recognises: (head, name) => isXml(head, name, 'gpx', /\.gpx$/i),
  async read(source, options) {
    const bytes = await source.readAll();
    if (!bytes.ok) return bytes;
    const file = source.name;
    const found = collector();
    // A recorder that lost power leaves a track without its end.
    const read = await readXml(bytes.value, file, found.events, options.work, 'kept');
    if (!read.ok) return read;
    if (found.root() !== 'gpx')
      return fail(
        'format',
        file,
        `is XML, but not GPX (its root is "${found.root()}")`,
        'Get the file again.',
      );
    const all: (Part & { readonly raw: RawFeature[] })[] = [
      { name: 'waypoints', kind: 'point', count: found.waypoints.length, raw: found.waypoints },
      { name: 'tracks', kind: 'line', count: found.tracks.length, raw: found.tracks.map(lineFeature) },
      { name: 'routes', kind: 'line', count: found.routes.length, raw: found.routes.map(lineFeature) },
    ];
    const parts = all.filter((p) => p.count !== 0);
    if (parts.length === 0)
      return found.lost.waypoints > 0
        ? fail(
            'content',
            file,
            'holds only waypoints whose latitude and longitude are no degrees',
            'Check the file.',
          )
        : fail(
            'content',
            file,
            `holds no waypoints, tracks or routes${read.value.notes.map((n) => ` (${n.what})`).join('')}`,
            'Export it again from the device or program.',
          );
    const chosen = choosePart(parts, options.part, file);
    if (!chosen.ok) return chosen;
    const { part } = chosen.value;
    return vectorOpened(
      {
        file,
        format: 'GPX',
        raw: sameFields(part.raw),
        crs: null,
        notes: [...read.value.notes, ...chosen.value.notes, ...found.notes(file, part.name)],
        parts: parts.map(({ name, kind, count }) => ({ name, kind, count })),
        part: part.name,
      },
      options,
    );
  },
};

function collector() {
  const waypoints: RawFeature[] = [];
  const tracks: Line[] = [];
  const routes: Line[] = [];
  // Positions that were left out, and what was dropped with points of lines, by part.
  const lost = { waypoints: 0, tracks: 0, routes: 0 };
  const dropped = { tracks: new Set<string>(), routes: new Set<string>() };
  let root = '';

  function point(node: XmlNode, part: 'tracks' | 'routes', line: Position[] | undefined): void {
    const position = positionOf(node);
    if (!position) lost[part]++;
    else line?.push(position);
    if (node.children.length > 0)
      for (const { name } of node.children) if (name !== 'extensions') dropped[part].add(name);
    const lines = part === 'tracks' ? tracks : routes;
    const attributes = lines.at(-1)?.attributes;
    if (attributes && attributes.time === null) attributes.time = textOf(node, 'time');
  }

  const events: XmlEvents = {
    open(name, _attribute, path) {
      if (path.length === 0) {
        root = name;
        return false;
      }
      const parent = path[path.length - 1];
      if (path.length === 1) {
        if (name === 'trk') tracks.push({ attributes: { time: null }, lines: [] });
        if (name === 'rte') routes.push({ attributes: { time: null }, lines: [[]] });
        return name === 'wpt';
      }
      if (name === 'trkseg' && parent === 'trk') tracks.at(-1)?.lines.push([]);
      if (parent === 'trkseg') return name === 'trkpt';
      if (parent === 'rte') return name === 'rtept' || LINE_FIELDS.includes(name);
      return parent === 'trk' && LINE_FIELDS.includes(name);
    },
    element(node, path) {
      if (node.name === 'wpt') {
        const position = positionOf(node);
        if (position) waypoints.push(feature('Point', position, valuesOf(node, POINT_FIELDS)));
        else lost.waypoints++;
      } else if (node.name === 'trkpt') point(node, 'tracks', tracks.at(-1)?.lines.at(-1));
      else if (node.name === 'rtept') point(node, 'routes', routes.at(-1)?.lines.at(-1));
      else {
        const line = (path.at(-1) === 'trk' ? tracks : routes).at(-1);
        const text = node.text.trim();
        if (line && text !== '') line.attributes[node.name] ??= text;
      }
    },
  };

  function notes(file: string, part: string): Note[] {
    const out: Note[] = [];
    const name = part as keyof typeof lost;
    const n = lost[name];
    if (n > 0)
      out.push({
        where: file,
        what: `${n} ${n === 1 ? 'position' : 'positions'} of ${name} without a latitude within 90 and a longitude within 180 degrees: left out`,
      });
    if (name !== 'waypoints' && dropped[name].size > 0)
      out.push({
        where: file,
        what: `what is told of single points of ${name} was dropped (${[...dropped[name]].map(word).join(', ')})`,
      });
    return out;
  }
  return { events, waypoints, tracks, routes, lost, notes, root: () => root };
}

const WORDS: Readonly<Record<string, string>> = { ele: 'heights', time: 'times', name: 'names' };
const word = (name: string): string => WORDS[name] ?? name;

/** Latitude and longitude are attributes (GPX 1.1, wptType); null where one is missing or no degrees. */
function positionOf(node: XmlNode): Position | null {
  const lat = degrees(node.attribute('lat'), 90);
  const lon = degrees(node.attribute('lon'), 180);
  return lat === null || lon === null ? null : [lon, lat];
}

function degrees(text: string | null, most: number): number | null {
  if (text === null || text.trim() === '') return null;
  const value = Number(text);
  return Math.abs(value) <= most ? value : null;
}

function valuesOf(node: XmlNode, fields: readonly string[]): Values {
  const values: Values = {};
  for (const field of fields) {
    const text = textOf(node, field);
    if (text === null) continue;
    const number = NUMBERS.has(field) ? Number(text) : NaN;
    values[field] = Number.isFinite(number) ? number : text;
  }
  return values;
}

const lineFeature = ({ lines, attributes }: Line): RawFeature =>
  feature('MultiLineString', lines, attributes);

const feature = (type: string, coordinates: unknown, properties: Attributes): RawFeature => ({
  geometry: { type, coordinates },
  properties,
});

/** Every feature has the fields of all, so that a table of them has the same columns throughout. */
function sameFields(raw: readonly RawFeature[]): RawFeature[] {
  const used = new Set(raw.flatMap((f) => Object.keys(f.properties ?? {})));
  const fields = [...POINT_FIELDS, ...LINE_FIELDS].filter((f) => used.delete(f));
  const empty = Object.fromEntries(fields.map((f) => [f, null]));
  return raw.map((f) => ({ geometry: f.geometry, properties: { ...empty, ...f.properties } }));
}
