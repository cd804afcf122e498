/**
 * KML 2.2 (OGC 07-147r2) with gx:Track: placemarks with name, description as plain text, folder, times and extended data.
 * Points, lines and polygons are parts of the file; links to other files are never followed, and pictures laid on the map are not read.
 */
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { RawFeature } from '../vectors/geometry.ts';
import { geometryOf, shapesOf } from './kmlGeometry.ts';
import { choosePart } from '../parts.ts';
import { plainText } from './plainText.ts';
import type { Format, Opened, Part, ReadOptions } from '../types.ts';
import { child, readXml, textOf, type XmlEvents, type XmlNode } from './xml.ts';
import { vectorOpened } from '../vectors/vector.ts';
import { isXml } from './xmlText.ts';

export const kml: Format = {
  id: 'kml',
  title: 'KML',
  extensions: ['kml'],
  recognises: (head, name) => isXml(head, name, 'kml', /\.kml$/i),
  async read(source, options) {
    const bytes = await source.readAll();
    return bytes.ok ? readKml({ path: source.name, bytes: bytes.value }, source.name, 'KML', options) : bytes;
  },
};

type Values = Record<string, string | number | boolean | null>;
const KINDS = { points: 'point', lines: 'line', polygons: 'polygon' } as const;
type Kind = keyof typeof KINDS;

/** Another document of the same archive. */
export interface Inside {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/**
 * Features of a KML document and of those that it links to in the same archive, each once.
 * @param inside finds what an address names, seen from `from`; null: it is elsewhere, and not followed.
 */
export async function readKml(
  first: Inside,
  file: string,
  format: 'KML' | 'KMZ',
  options: ReadOptions,
  inside: (address: string, from: string) => Promise<Result<Inside | null>> = () => Promise.resolve(ok(null)),
): Promise<Result<Opened>> {
  const found = collector(file);
  const own: Note[] = [];
  const elsewhere: string[] = [];
  const documents = [first];
  for (const document of documents) {
    const where = document === first && format === 'KML' ? file : `${file}, ${document.path}`;
    const read = await readXml(document.bytes, where, found.events, options.work);
    if (!read.ok) return read;
    const { root, links } = found.next();
    if (root !== 'kml')
      return fail('format', where, `is XML, but not KML (its root is "${root}")`, 'Get the file again.');
    own.push(...read.value.notes);
    for (const link of links) {
      const linked = await inside(link, document.path);
      if (!linked.ok) return linked;
      if (!linked.value) elsewhere.push(link);
      else if (!documents.some((d) => d.path === linked.value?.path)) documents.push(linked.value);
    }
  }
  const parts: (Part & { readonly raw: readonly RawFeature[] })[] = (Object.keys(KINDS) as Kind[])
    .map((name) => ({
      name,
      kind: KINDS[name],
      count: found.features[name].length,
      raw: found.features[name],
    }))
    .filter((p) => p.count > 0)
    .sort((a, b) => b.count - a.count);
  const notes = [...own, ...found.notes(), ...notFollowed(file, elsewhere)];
  if (parts.length === 0) return empty(file, elsewhere, notes);
  const chosen = choosePart(parts, options.part, file);
  if (!chosen.ok) return chosen;
  const { part } = chosen.value;
  return vectorOpened(
    {
      file,
      format,
      raw: sameFields(part.raw),
      crs: null,
      notes: [...notes, ...chosen.value.notes],
      parts: parts.map(({ name, kind, count }) => ({ name, kind, count })),
      part: part.name,
    },
    options,
  );
}

function notFollowed(file: string, links: readonly string[]): Note[] {
  if (links.length === 0) return [];
  const [one, were] = links.length === 1 ? ['a link', 'was'] : [`${links.length} links`, 'were'];
  const named = links[0] ? ` (${links[0].slice(0, 200)})` : '';
  return [{ where: file, what: `${one} to other files${named} ${were} not followed` }];
}

function empty(file: string, links: readonly string[], notes: readonly Note[]): Result<never> {
  if (links.length > 0)
    return fail(
      'content',
      file,
      `holds only a link to another file${links[0] ? ` (${links[0].slice(0, 200)})` : ''}, which is not followed`,
      'Open that address in a browser, and give the file that it holds.',
    );
  const why = notes.length > 0 ? ` (${notes.map((n) => n.what).join('; ')})` : '';
  return fail('content', file, `holds no points, lines or polygons${why}`, 'Check the file.');
}

/** What stands among placemarks and is not read, in words. */
const NOT_READ: Readonly<Record<string, string>> = {
  GroundOverlay: 'pictures laid on the ground',
  PhotoOverlay: 'photos with a camera position',
  ScreenOverlay: 'pictures laid on the screen',
  Tour: 'tours',
};

function collector(file: string) {
  const features: Record<Kind, RawFeature[]> = { points: [], lines: [], polygons: [] };
  // Folders around the place at hand; null: its name is not known yet.
  const folders: (string | null)[] = [];
  const types = new Map<string, string>();
  const tally = new Map<string, number>();
  const links: string[] = [];
  let root = '';
  const count = (what: string): void => void tally.set(what, (tally.get(what) ?? 0) + 1);

  const events: XmlEvents = {
    open(name, _attribute, path) {
      if (path.length === 0) root = name;
      if (name === 'Folder') folders.push(null);
      if (name === 'name') return path.at(-1) === 'Folder';
      return (
        name === 'Placemark' || name === 'Schema' || name === 'NetworkLink' || Object.hasOwn(NOT_READ, name)
      );
    },
    close(name) {
      if (name === 'Folder') folders.pop();
    },
    element(node) {
      if (node.name === 'name') folders[folders.length - 1] = node.text.trim();
      else if (node.name === 'Schema') {
        for (const field of node.children)
          if (field.name === 'SimpleField')
            types.set(field.attribute('name') ?? '', field.attribute('type') ?? '');
      } else if (node.name === 'NetworkLink') {
        const link = child(node, 'Link') ?? child(node, 'Url');
        links.push((link && textOf(link, 'href')) ?? '');
      } else if (Object.hasOwn(NOT_READ, node.name)) count(`${NOT_READ[node.name]}: left out`);
      else placemark(node);
    },
  };

  function placemark(node: XmlNode): void {
    const shapes = shapesOf(node);
    const attributes = attributesOf(node, types);
    const folder = folders.filter((f) => f !== null && f !== '').join(' / ');
    if (folder !== '') put(attributes, 'folder', folder);
    const kinds = (Object.keys(KINDS) as Kind[]).filter((k) => shapes[k].length > 0);
    for (const kind of kinds)
      features[kind].push({ geometry: geometryOf(kind, shapes), properties: attributes });
    if (kinds.length > 1)
      count('a placemark with shapes of several kinds: each kind is a feature of its own part');
    for (const what of shapes.lost) count(`${what}: left out`);
    if (kinds.length === 0 && shapes.lost.length === 0) count('a placemark without a place: left out');
    if (shapes.heights) count('heights were dropped');
    if (shapes.times) count('times of single positions were dropped');
  }

  function notes(): Note[] {
    return [...tally].map(([what, n]) => ({ where: file, what: `${what} (${n})` }));
  }
  /** What the document that was just read is, and links to; makes ready for another. */
  function next(): { root: string; links: string[] } {
    const of = { root, links: [...links] };
    root = '';
    links.length = 0;
    folders.length = 0;
    return of;
  }
  return { events, features, notes, next };
}

/** A name that is taken already keeps its value; the newcomer gets a number. */
function put(values: Values, name: string, value: Values[string]): void {
  let key = name;
  for (let n = 2; Object.hasOwn(values, key); n++) key = `${name} ${n}`;
  values[key] = value;
}

function attributesOf(placemark: XmlNode, types: ReadonlyMap<string, string>): Values {
  const values: Values = {};
  for (const name of ['name', 'address', 'phoneNumber']) {
    const text = textOf(placemark, name);
    if (text !== null) put(values, name, text);
  }
  const description = textOf(placemark, 'description');
  if (description !== null) put(values, 'description', plainText(description));
  const stamp = child(placemark, 'TimeStamp');
  if (stamp) put(values, 'time', textOf(stamp, 'when'));
  const span = child(placemark, 'TimeSpan');
  for (const end of ['begin', 'end']) {
    const text = span && textOf(span, end);
    if (text) put(values, end, text);
  }
  for (const entry of child(placemark, 'ExtendedData')?.children ?? []) {
    if (entry.name === 'Data') put(values, entry.attribute('name') ?? 'data', textOf(entry, 'value'));
    else if (entry.name === 'SchemaData')
      for (const data of entry.children) {
        const name = data.attribute('name') ?? 'data';
        if (data.name === 'SimpleData') put(values, name, typed(data.text.trim(), types.get(name)));
      }
    else if (entry.children.length === 0) put(values, entry.name, entry.text.trim());
  }
  return values;
}

/** A value of a declared type (KML 2.2, 9.9); what does not fit its type stays text. */
function typed(text: string, type: string | undefined): Values[string] {
  if (text === '') return null;
  if (type === 'bool') return /^(1|true)$/i.test(text) ? true : /^(0|false)$/i.test(text) ? false : text;
  if (!/^(u?int|u?short|float|double)$/.test(type ?? '')) return text;
  const value = Number(text);
  return Number.isFinite(value) ? value : text;
}

/** Every feature has the fields of all, in the order in which they are met. */
function sameFields(raw: readonly RawFeature[]): RawFeature[] {
  const empty: Record<string, null> = {};
  for (const f of raw) for (const name of Object.keys(f.properties ?? {})) empty[name] = null;
  return raw.map((f) => ({ geometry: f.geometry, properties: { ...empty, ...f.properties } }));
}
