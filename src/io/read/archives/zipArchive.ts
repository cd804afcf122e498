import { fail, ok, type Failure, type Note, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import { shapeKind } from '../vectors/shapefileRecords.ts';
import { SIDECARS } from '../vectors/shapefile.ts';
import { decodeText } from '../text.ts';
import type { Content, Format, Opened, Part, ReadOptions } from '../types.ts';
import { MOST_WHOLE } from '../whole.ts';
import { listZip, unpackEntry } from './zip.ts';
import type { ZipEntry } from './zipDirectory.ts';

/** Bytes of all files together. One is unpacked at a time; a zip of more is of the 64-bit kind, or lies. */
const LIMIT = { most: 4e9, todo: 'Unpack it, and bring the files that you need.' };
const LOOK = 65_536;
const MOST_NAMED = 8;

type Open = (source: Source, options: ReadOptions) => Promise<Result<Opened>>;

interface Member {
  /** Path in the zip without the folder around everything. */
  readonly name: string;
  readonly source: Source;
  readonly look: (bytes: number) => Promise<Result<Uint8Array>>;
}

/**
 * A zip of files that are read: shapefiles, tables, rasters ... Each is one of its parts.
 * @param open opens a file of the zip by its own format.
 * @param extensions of all formats that are read.
 */
export function zipArchive(open: Open, extensions: () => readonly string[]): Format {
  return {
    id: 'zip',
    title: 'zip',
    extensions: ['zip'],
    // A file, or a zip that holds none.
    recognises: (head) =>
      head[0] === 0x50 &&
      head[1] === 0x4b &&
      ((head[2] === 3 && head[3] === 4) || (head[2] === 5 && head[3] === 6)),
    async read(source, options) {
      const entries = await listZip(source, LIMIT);
      if (!entries.ok) return entries;
      const members = membersOf(source, entries.value, options, extensions());
      const whyNot = members.length === 0 ? nothingIn(entries.value, source.name) : null;
      const workspace = entries.value.some((e) => /^([^/]+\/)?plan\.json$/.test(e.path));
      if (workspace)
        return fail('content', source.name, 'is a workspace file', 'Open it from the workspace menu.');
      if (whyNot) return { ok: false, failure: whyNot };
      const opened =
        members.length === 1
          ? await onlyOne(source, members[0], options, open)
          : await oneOf(source, members, options, open);
      const left = leftOut(entries.value, source.name);
      return opened.ok && left.length > 0
        ? ok({ ...opened.value, notes: [...opened.value.notes, ...left] })
        : opened;
    },
  };
}

function membersOf(
  zip: Source,
  entries: readonly ZipEntry[],
  options: ReadOptions,
  extensions: readonly string[],
): Member[] {
  const folder = folderAround(entries);
  const sources = new Map(entries.map((e) => [e.path.toLowerCase(), memberSource(zip, e, options)]));
  const read = entries.filter(({ path, size }) => {
    const lower = path.toLowerCase();
    return (
      size > 0 &&
      !/(^|\/)[._][^/]*$/.test(lower) &&
      !/\.zip$|\.aux\.xml$/.test(lower) &&
      !SIDECARS.some((s) => lower.endsWith(`.${s}`)) &&
      extensions.some((x) => lower.endsWith(`.${x}`))
    );
  });
  // A text beside the data is about the data.
  const data = read.filter((e) => !/\.txt$/i.test(e.path));
  return (data.length > 0 ? data : read).map((e) => ({
    name: e.path.slice(folder.length),
    look: (bytes) => unpackEntry(zip, e, options.work, bytes),
    source: {
      ...(sources.get(e.path.toLowerCase()) ?? memberSource(zip, e, options)),
      beside(name) {
        const path = e.path.slice(0, e.path.lastIndexOf('/') + 1) + name;
        return Promise.resolve(sources.get(path.toLowerCase()) ?? null);
      },
    },
  }));
}

/** "folder/" where every file lies in that one, else ''. */
function folderAround(entries: readonly ZipEntry[]): string {
  const folder = /^[^/]+\//.exec(entries[0]?.path ?? '')?.[0] ?? '';
  return entries.every((e) => e.path.startsWith(folder)) ? folder : '';
}

/** Unpacked when it is first read, then kept as long as the source is. */
function memberSource(zip: Source, entry: ZipEntry, { work }: ReadOptions): Source {
  let content: Promise<Result<Uint8Array>> | null = null;
  const name = entry.path.slice(entry.path.lastIndexOf('/') + 1);
  const readAll = (): Promise<Result<Uint8Array>> =>
    (content ??=
      entry.size > MOST_WHOLE
        ? Promise.resolve(
            fail(
              'content',
              name,
              `unpacks to ${(entry.size / 1e9).toFixed(1)} GB, more than ${MOST_WHOLE / 1e9} GB`,
              'Unpack the zip, and bring the file itself.',
            ),
          )
        : unpackEntry(zip, entry, work));
  return {
    name,
    size: entry.size,
    async read(offset, length) {
      const all = await readAll();
      return all.ok ? ok(all.value.subarray(offset, Math.max(offset, offset + length))) : all;
    },
    readAll,
  };
}

const isZip = ({ path }: ZipEntry): boolean => /\.zip$/i.test(path);
const isGeodatabase = ({ path }: ZipEntry): boolean => /\.gdb\//i.test(path);

/** Data that stands beside what is read, and is not read itself. */
function leftOut(entries: readonly ZipEntry[], where: string): Note[] {
  const notes: Note[] = [];
  const zips = entries.filter(isZip).map((e) => e.path);
  if (zips.length > 0) notes.push({ where, what: `zips in it were not opened: ${zips.slice(0, MOST_NAMED).join(', ')}` }); // prettier-ignore
  if (entries.some(isGeodatabase)) notes.push({ where, what: 'a file geodatabase (.gdb) in it is not read' });
  return notes;
}

/** Why a zip holds nothing that can be read. */
function nothingIn(entries: readonly ZipEntry[], name: string): Failure {
  const say = (what: string, todo: string): Failure => ({ code: 'content', where: name, what, todo });
  const named = (of: readonly ZipEntry[]): string =>
    of
      .slice(0, MOST_NAMED)
      .map((e) => e.path)
      .join(', ') + (of.length > MOST_NAMED ? ', ...' : '');
  if (entries.length === 0) return say('is an empty zip', 'Get the file again.');
  if (entries.some(isGeodatabase))
    return say(
      'holds a file geodatabase (.gdb), which is not read',
      'Export the layer that you need as GeoPackage or shapefile.',
    );
  const zips = entries.filter(isZip);
  if (zips.length > 0)
    return say(
      `holds further zips (${named(zips)}), which are not opened`,
      'Unpack it, and bring the zips in it one by one.',
    );
  if (entries.some((e) => SIDECARS.some((s) => e.path.toLowerCase().endsWith(`.${s}`))))
    return say('holds parts of a shapefile without its .shp', 'Get the file again, with all parts in it.');
  return say(`holds nothing that is read (${named(entries)})`, 'Unpack it, and convert what you need.');
}

/** The file in the zip as if it had been brought by itself, its own parts among the answer. */
async function onlyOne(
  zip: Source,
  member: Member,
  options: ReadOptions,
  open: Open,
): Promise<Result<Opened>> {
  const { part, ...rest } = options;
  const own = part === undefined || part === member.name ? rest : options;
  return inZip(zip, await open(member.source, own));
}

async function oneOf(
  zip: Source,
  members: readonly Member[],
  options: ReadOptions,
  open: Open,
): Promise<Result<Opened>> {
  const { part, ...rest } = options;
  const wanted = part === undefined ? members : members.filter((m) => belongs(part, m.name));
  if (wanted.length === 0)
    return fail(
      'content',
      zip.name,
      `holds no "${part ?? ''}"`,
      `Choose one of: ${members.map((m) => m.name).slice(0, MOST_NAMED).join(', ')}.`, // prettier-ignore
    );
  const tried: { member: Member; opened: Result<Opened> }[] = [];
  for (const member of wanted) {
    const inner = part?.slice(member.name.length + 1);
    const opened = await open(member.source, inner ? { ...rest, part: inner } : rest);
    tried.push({ member, opened });
    // A missing coordinate system is the user's to give; what holds nothing makes room for the next.
    if (opened.ok || opened.failure.code === 'crs') break;
  }
  const last = tried.find((t) => t.opened.ok) ?? tried[0];
  const opened = inZip(zip, last.opened);
  if (!opened.ok) return opened;
  const parts = await partsOf(members, last.member, opened.value, rest, open);
  if (!parts.ok) return parts;
  const skipped = tried
    .slice(0, -1)
    .flatMap(({ opened: o, member }) =>
      o.ok ? [] : [{ where: `${zip.name}, ${member.name}`, what: `${o.failure.what}: left out` }],
    );
  return ok({
    ...opened.value,
    notes: [
      ...skipped,
      ...opened.value.notes,
      ...parts.value.notes.map((n) => ({ ...n, where: `${zip.name}, ${n.where}` })),
    ],
    parts: parts.value.parts,
    part: opened.value.part === undefined ? last.member.name : `${last.member.name}/${opened.value.part}`,
  });
}

const belongs = (part: string, name: string): boolean => part === name || part.startsWith(`${name}/`);

/** Failures and notes name the zip, too. */
function inZip(zip: Source, opened: Result<Opened>): Result<Opened> {
  const within = (where: string): string => (where.startsWith(zip.name) ? where : `${zip.name}, ${where}`);
  if (!opened.ok) return { ok: false, failure: { ...opened.failure, where: within(opened.failure.where) } };
  const { value } = opened;
  return ok({
    ...value,
    file: zip.name,
    format: `${value.format} in a zip`,
    notes: value.notes.map((n) => ({ ...n, where: within(n.where) })),
  });
}

async function partsOf(
  members: readonly Member[],
  read: Member,
  opened: Opened,
  options: ReadOptions,
  open: Open,
): Promise<Result<{ parts: Part[]; notes: Note[] }>> {
  const parts: Part[] = [];
  const notes: Note[] = [];
  for (const member of members) {
    if (member === read) {
      parts.push(...within(member, opened));
      continue;
    }
    const told = await kindByLook(member);
    if (!told.ok) return told;
    if (told.value) {
      parts.push({ name: member.name, kind: told.value, count: null });
      continue;
    }
    // Databases and the like tell what they hold when they are opened; what cannot be opened is no part.
    const inner = await open(member.source, options);
    if (inner.ok) parts.push(...within(member, inner.value));
    else notes.push({ where: member.name, what: `${inner.failure.what}: left out` });
    await options.work?.pause?.();
  }
  return ok({ parts, notes });
}

const within = (member: Member, opened: Opened): Part[] =>
  opened.parts && opened.parts.length > 0
    ? opened.parts.map((p) => ({ ...p, name: `${member.name}/${p.name}` }))
    : [{ name: member.name, kind: opened.content.kind, count: opened.count }];

/** What the beginning of a file tells of its kind; null where it takes more. */
async function kindByLook(member: Member): Promise<Result<Content['kind'] | null>> {
  const lower = member.name.toLowerCase();
  if (/\.(tiff?|asc|nc)$/.test(lower)) return ok('raster');
  if (/\.(csv|tsv|xlsx)$/.test(lower)) return ok('table');
  const text = /\.(geojson|json|geojsonl|geojsons|ndjson|kml)$/.test(lower);
  if (!text && !lower.endsWith('.shp')) return ok(null);
  const head = await member.look(LOOK);
  if (!head.ok) return head;
  if (!text) {
    const kind = shapeKind(head.value, member.name);
    return ok(kind.ok ? kind.value : null);
  }
  const type = /"type"\s*:\s*"(?:Multi)?(Point|LineString|Polygon)"|<(Point|LineString|Polygon)>/.exec(
    decodeText(head.value).text,
  );
  const kinds = { Point: 'point', LineString: 'line', Polygon: 'polygon' } as const;
  return ok(type ? kinds[(type[1] ?? type[2]) as keyof typeof kinds] : null);
}
