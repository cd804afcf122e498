/**
 * KMZ (KML 2.2, annex C): a zip of which doc.kml, else the first KML file, is read, and what that links to
 * within the zip. Pictures are not read.
 */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import { readKml, type Inside } from './kml.ts';
import type { Format } from '../types.ts';
import { MOST_XML } from './xml.ts';
import { listZip, unpackEntry, type ZipEntry } from '../archives/zip.ts';
import { firstInZip } from '../archives/zipHead.ts';

/** For all files together. Pictures are not unpacked, but a zip that states more is no map. */
const LIMIT = { most: 2e9, todo: 'Save it as KML, or without its pictures.' };

export const kmz: Format = {
  id: 'kmz',
  title: 'KMZ',
  extensions: ['kmz'],
  recognises: (head, name) =>
    head[0] === 0x50 && head[1] === 0x4b && (/\.kmz$/i.test(name) || /^[^/]*\.kml$/i.test(firstInZip(head))),
  async read(source, options) {
    const file = source.name;
    const listed = await listZip(source, LIMIT);
    if (!listed.ok) return listed;
    const documents = listed.value.filter((e) => /\.kml$/i.test(e.path));
    const first = documents.find((e) => /^doc\.kml$/i.test(e.path)) ?? documents.at(0);
    if (!first)
      return fail('content', file, 'is a zip without a KML file in it', 'Check what it is, or get it again.');
    const unpacked = new Map<string, Inside>();
    let total = 0;
    const unpack = async (entry: ZipEntry): Promise<Result<Inside>> => {
      const known = unpacked.get(entry.path);
      if (known) return ok(known);
      // Before memory is taken: sizes are told in the list of the zip.
      total += entry.size;
      if (total > MOST_XML)
        return fail(
          'content',
          `${file}, ${entry.path}`,
          `unpacks to ${Math.round(total / 1e6)} MB of KML; up to ${MOST_XML / 1e6} MB are read`,
          'Split it, or convert it to FlatGeobuf or GeoPackage.',
        );
      const bytes = await unpackEntry(source, entry, options.work);
      if (!bytes.ok) return bytes;
      const document = { path: entry.path, bytes: bytes.value };
      unpacked.set(entry.path, document);
      return ok(document);
    };
    const document = await unpack(first);
    if (!document.ok) return document;
    const read = await readKml(document.value, file, 'KMZ', options, (address, from) => {
      const path = pathOf(address, from);
      const linked = documents.find((d) => d.path === path);
      return linked ? unpack(linked) : Promise.resolve(ok(null));
    });
    const taken = [...unpacked.keys()];
    const left = documents.filter((f) => !taken.includes(f.path)).map((f) => f.path);
    if (!read.ok || left.length === 0) return read;
    const named = left.slice(0, 3).join(', ') + (left.length > 3 ? ', ...' : '');
    const note = {
      where: file,
      what: `${taken.join(', ')} was read; it also holds ${left.length === 1 ? 'another KML file' : `${left.length} more KML files`} (${named})`,
    };
    return ok({ ...read.value, notes: [note, ...read.value.notes] });
  },
};

/** Path in the zip that an address of one of its documents names; '' where it leads elsewhere. */
function pathOf(address: string, from: string): string {
  const relative = address.trim().replace(/[#?].*$/s, '');
  if (relative === '' || /^([a-z][a-z\d+.-]*:|\/)/i.test(relative)) return '';
  const parts = from.split('/').slice(0, -1);
  for (const part of relative.split('/')) {
    if (part === '..') parts.pop();
    else if (part !== '.' && part !== '') parts.push(unescaped(part));
  }
  return parts.join('/');
}

/** "%20" to a blank; an address with a "%" of its own stays as it is. */
function unescaped(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch (error) {
    if (error instanceof URIError) return part;
    throw error;
  }
}
