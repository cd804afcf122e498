/**
 * The one door for XML. A parser of events (saxen) is fed in pieces, so that a long file reports how far it is and can be
 * stopped; elements that a reader asks for come whole, all others are never kept. Nothing outside of the file is loaded, and
 * entities other than the five of XML and character numbers are not expanded.
 *
 * Not a document tree: on a phone track of 100,000 points (11 MB) building one takes 50 times as long, in one go.
 */
import type { Parser as XmlParser } from 'saxen';
import { fail, ok, type Failure, type Note, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import { xmlText } from './xmlText.ts';

/** An element with all in it. Names are without their prefix ("gx:coord" is "coord"). */
export interface XmlNode {
  readonly name: string;
  /** Its own text, references resolved, not trimmed; without that of its children. */
  readonly text: string;
  readonly children: readonly XmlNode[];
  /** Where it stands in the text of its parent. */
  readonly at: number;
  /** By name without prefix; null where there is none. */
  attribute(name: string): string | null;
}

export interface XmlEvents {
  /**
   * An element begins. True: it is gathered, and given to `element` when it ends.
   * @param path names of the elements around it, the root first.
   */
  open(name: string, attribute: XmlNode['attribute'], path: readonly string[]): boolean;
  /** An element that was asked for, whole. */
  element(node: XmlNode, path: readonly string[]): void;
  /** An element that was not gathered ends; `path` holds those around it. */
  close?(name: string, path: readonly string[]): void;
  /** Asked between pieces of the file: a reason to stop. */
  trouble?(): Failure | null;
}

/** Bytes of an XML file that are read at most: the text of a larger one does not fit into a phone's memory. */
export const MOST_XML = 200e6;
/** Elements within each other; real files have fewer than 20. */
const DEEPEST = 200;
/** Characters between two reports; more where one piece of markup is longer, so that it is not gone through again and again. */
const PIECE = 500_000;

interface Gathered extends XmlNode {
  text: string;
  children: Gathered[];
}

/**
 * Reads a whole XML file. Not well-formed: one Failure with the line; slips in the writing of attributes are passed over with
 * a note. `work` hears progress in bytes.
 * @param cut what becomes of a file that ends too soon: refused, or kept as far as it goes, with a note.
 */
export async function readXml(
  bytes: Uint8Array,
  file: string,
  events: XmlEvents,
  work?: Work,
  cut: 'refused' | 'kept' = 'refused',
): Promise<Result<{ readonly notes: readonly Note[] }>> {
  if (bytes.length > MOST_XML)
    return fail(
      'content',
      file,
      `is ${Math.round(bytes.length / 1e6)} MB of XML; up to ${MOST_XML / 1e6} MB are read`,
      'Split it, or convert it to FlatGeobuf or GeoPackage.',
    );
  const decoded = xmlText(bytes, file);
  if (!decoded.ok) return decoded;
  const { text } = decoded.value;
  const { Parser } = await import('saxen');
  const path: string[] = [];
  const gathering: Gathered[] = [];
  // In a record, so that what the events set is seen below.
  const met: { failure: Failure | null; broken: boolean; slips: number; heard: number } = {
    failure: null,
    broken: false,
    slips: 0,
    heard: 0,
  };
  const parser = new Parser();
  const refuse = (what: string, todo: string): void => {
    met.failure ??= { code: 'format', where: file, what, todo };
    parser.stop();
  };
  parser.on('error', () => {
    met.broken = true;
  });
  parser.on('warn', () => {
    met.slips++;
  });
  parser.on('attention', (markup) => {
    // A type that is only named is not fetched, and does no harm; definitions in the file can be bombs or read other files.
    if (/^<!ENTITY/i.test(markup) || (/^<!DOCTYPE/i.test(markup) && markup.includes('[')))
      refuse(
        'defines entities of its own (DOCTYPE), which can hide very large or foreign content',
        'Save it again with the program that it comes from, or do not use it.',
      );
  });
  parser.on('openTag', (full, attributes) => {
    met.heard++;
    if (path.length + gathering.length >= DEEPEST)
      return refuse(`has elements more than ${DEEPEST} deep within each other`, 'Do not use this file.');
    const name = localName(full);
    const parent = gathering.at(-1);
    const attribute = byName(attributes());
    if (!parent && !events.open(name, attribute, path)) {
      path.push(name);
      return;
    }
    const node: Gathered = { name, text: '', children: [], at: parent?.text.length ?? 0, attribute };
    parent?.children.push(node);
    gathering.push(node);
  });
  parser.on('text', (piece) => {
    met.heard++;
    const node = gathering.at(-1);
    if (node) node.text += resolve(piece);
  });
  parser.on('cdata', (piece) => {
    const node = gathering.at(-1);
    if (node) node.text += piece;
  });
  parser.on('closeTag', (full) => {
    met.heard++;
    const node = gathering.pop();
    if (!node) {
      path.pop();
      events.close?.(localName(full), path);
    } else if (gathering.length === 0) events.element(node, path);
  });
  const broken = (): Result<{ readonly notes: readonly Note[] }> => {
    const { line, why, atEnd } = troubleIn(text, 'error', Parser);
    const ends = /^unexpected end|^unclosed|^missing start/.test(why);
    if (ends && atEnd && cut === 'kept') {
      const what = 'ends too soon, as if it had been cut short; what stands before was read';
      return ok({ notes: [...decoded.value.notes, { where: `${file}, line ${line}`, what }] });
    }
    return fail(
      'format',
      `${file}, line ${line}`,
      ends ? `is XML that ends too soon (${why})` : `is not well-formed XML (${why})`,
      'Get the file again, or check where it was edited.',
    );
  };
  for (let at = 0, size = PIECE; at < text.length;) {
    const { heard } = met;
    parser.write(text.slice(at, at + size));
    at = Math.min(text.length, at + size);
    size = met.heard > heard ? PIECE : size * 2;
    const failure = met.failure ?? events.trouble?.() ?? null;
    if (failure) return { ok: false, failure };
    if (met.broken) return broken();
    work?.progress?.(Math.round((at / text.length) * bytes.length), bytes.length, 'bytes of XML read');
    await work?.pause?.();
  }
  parser.end();
  if (met.broken) return broken();
  const failure = met.failure ?? events.trouble?.() ?? null;
  if (failure) return { ok: false, failure };
  const notes = [...decoded.value.notes];
  if (met.slips > 0) {
    const { line } = troubleIn(text, 'warn', Parser);
    notes.push({
      where: `${file}, line ${line}`,
      what: `has markup that is not well-formed and was passed over${met.slips > 1 ? `, and ${met.slips - 1} more like it` : ''}`,
    });
  }
  return ok({ notes });
}

type ParserOf = typeof XmlParser;

interface Trouble {
  readonly line: number;
  readonly why: string;
  /** In the last tag or after it: nothing follows that could have been meant as more. */
  readonly atEnd: boolean;
}

/** In pieces, the parser counts lines from the piece at hand: the whole is gone through once more to tell the line. */
function troubleIn(text: string, event: 'error' | 'warn', Parser: ParserOf): Trouble {
  const found: { line: number; why: string }[] = [];
  const parser = new Parser();
  parser.on('error', (error, context) => {
    if (event === 'error') found.push({ line: context().line + 1, why: error.message });
  });
  parser.on('warn', (error, context) => {
    if (event !== 'warn' || found.length > 0) return;
    found.push({ line: context().line + 1, why: error.message });
    parser.stop();
  });
  // Slips in attributes are seen only when these are asked for.
  parser.on('openTag', (_name, attributes) => void attributes());
  parser.parse(text);
  const first = found[0] ?? { line: 1, why: 'damaged' };
  if (first.why === 'unexpected end of file') return { ...first, line: linesIn(text), atEnd: true };
  return { ...first, atEnd: first.line === linesIn(text.slice(0, text.lastIndexOf('<'))) };
}

const linesIn = (text: string): number => text.split(/\r\n|\r|\n/).length;

const localName = (name: string): string => name.slice(name.indexOf(':') + 1);

const none = (): null => null;

function byName(attributes: Readonly<Record<string, string>> | false): XmlNode['attribute'] {
  if (attributes === false) return none;
  return (wanted) => {
    // Nearly all are written without a prefix.
    if (Object.hasOwn(attributes, wanted)) return resolve(attributes[wanted]);
    const name = Object.keys(attributes).find((n) => localName(n) === wanted);
    return name === undefined ? null : resolve(attributes[name]);
  };
}

const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

/** References to characters and the five entities of XML (XML 1.0, 4.1 and 4.6); any other stays as it is written. */
export function resolve(text: string): string {
  if (!text.includes('&')) return text;
  return text.replace(
    /&(?:#(\d{1,8})|#x([\da-f]{1,7})|(amp|lt|gt|quot|apos));/gi,
    (whole, dec, hex, name) => {
      if (typeof name === 'string') return ENTITIES[name.toLowerCase()];
      const code = typeof dec === 'string' ? Number(dec) : Number.parseInt(hex as string, 16);
      const valid = code <= 0x10ffff && (code < 0xd800 || code > 0xdfff) && code !== 0;
      return valid ? String.fromCodePoint(code) : whole;
    },
  );
}

/** The first child of this name. */
export const child = (node: XmlNode, name: string): XmlNode | null =>
  node.children.find((c) => c.name === name) ?? null;

/** Trimmed text of the first child of this name; null where there is none or it is empty. */
export function textOf(node: XmlNode, name: string): string | null {
  const text = child(node, name)?.text.trim();
  return text === undefined || text === '' ? null : text;
}
