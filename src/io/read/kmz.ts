/**
 * KMZ (KML 2.2, annex C): a zip of which doc.kml, else the first KML file, is read, and what that links to
 * within the zip. Pictures are not read.
 */
import { fail, ok } from '../../domain/base/result.ts';
import { readKml } from './kml.ts';
import type { Format } from './types.ts';
import { decodeText } from './text.ts';
import { whole } from './whole.ts';
import { MOST_XML } from './xml.ts';
import { readZip } from './zip.ts';

/** Pictures in it are unpacked too, and their sizes count. */
const MOST_UNPACKED = 2 * MOST_XML;

export const kmz: Format = {
  id: 'kmz',
  title: 'KMZ',
  extensions: ['kmz'],
  recognises: (head, name) =>
    head[0] === 0x50 && head[1] === 0x4b && (/\.kmz$/i.test(name) || /^[^/]*\.kml$/i.test(firstName(head))),
  async read(source, options) {
    const file = source.name;
    const bytes = await whole(source, MOST_UNPACKED);
    if (!bytes.ok) return bytes;
    const zip = readZip(bytes.value, file, MOST_UNPACKED);
    if (!zip.ok) return zip;
    const documents = zip.value.filter((f) => /\.kml$/i.test(f.path));
    const document = documents.find((f) => /^doc\.kml$/i.test(f.path)) ?? documents.at(0);
    if (!document)
      return fail('content', file, 'is a zip without a KML file in it', 'Check what it is, or get it again.');
    const taken = new Set([document.path]);
    const read = await readKml(document, file, 'KMZ', options, (address, from) => {
      const path = pathOf(address, from);
      const linked = documents.find((d) => d.path === path) ?? null;
      if (linked) taken.add(linked.path);
      return linked;
    });
    const left = documents.filter((f) => !taken.has(f.path)).map((f) => f.path);
    if (!read.ok || left.length === 0) return read;
    const named = left.slice(0, 3).join(', ') + (left.length > 3 ? ', ...' : '');
    const note = {
      where: file,
      what: `${[...taken].join(', ')} was read; it also holds ${left.length === 1 ? 'another KML file' : `${left.length} more KML files`} (${named})`,
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

/** Name of the first file, from the first bytes of a zip. */
function firstName(head: Uint8Array): string {
  if (head.length < 30 || head[2] !== 3 || head[3] !== 4) return '';
  return decodeText(head.subarray(30, 30 + head[26] + 256 * head[27])).text;
}
