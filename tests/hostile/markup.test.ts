/** GPX, KML, KMZ, workbooks and photos that are cut, damaged, misnamed or made to do harm: a sentence or a layer, never more. */
import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sentence, type Failure, type Result } from '../../src/domain/base/result.ts';
import { openSource } from '../../src/io/read/formats.ts';
import { gpx } from '../../src/io/read/markup/gpx.ts';
import { kml } from '../../src/io/read/markup/kml.ts';
import { kmz } from '../../src/io/read/markup/kmz.ts';
import { photo } from '../../src/io/read/photos/photo.ts';
import type { Format, Opened } from '../../src/io/read/types.ts';
import { workbook } from '../../src/io/read/tables/workbook.ts';
import { memorySource } from '../../src/io/source/memory.ts';

const SEED = 20261125;
const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const folders = ['xml', 'photos', 'workbooks'] as const;
const fixtures = folders.flatMap((folder) => {
  const at = new URL(`../fixtures/${folder}/`, import.meta.url);
  return readdirSync(at)
    .filter((name) => !name.endsWith('.sh'))
    .map((name) => ({ name, bytes: new Uint8Array(readFileSync(new URL(name, at))) }));
});
const READERS: Readonly<Record<string, Format>> = {
  gpx,
  kml,
  kmz,
  xlsx: workbook,
  xls: workbook,
  ods: workbook,
};
const readerOf = (name: string): Format => READERS[name.split('.').at(-1) ?? ''] ?? photo;

/** By the reader itself: the net that catches what a reader throws is not asked. */
const readBy = (format: Format, name: string, bytes: Uint8Array) =>
  format.read(memorySource(name, bytes), {});

function expectPlain({ where, what, todo }: Failure, name: string): void {
  expect(where.startsWith(name)).toBe(true);
  expect(todo).not.toBe('');
  const words = sentence({ code: 'format', where, what, todo });
  expect(words).not.toMatch(/undefined|\bNaN\b|\[object|TypeError|Cannot read|is not a function/);
  expect(words.length).toBeLessThan(700);
}

function expectUsable(opened: Result<Opened>, name: string): void {
  if (!opened.ok) return expectPlain(opened.failure, name);
  const { content } = opened.value;
  if (content.kind === 'point')
    for (const s of content.features) expect(Math.abs(s.lat) <= 90 && Math.abs(s.lon) <= 360).toBe(true);
  else if (content.kind === 'line')
    for (const t of content.features) expect(t.lines.flat(2).every((x) => Math.abs(x) <= 360)).toBe(true);
  else if (content.kind === 'polygon')
    for (const a of content.features) expect(a.geometry.flat(3).every((x) => Math.abs(x) <= 360)).toBe(true);
  else if (content.kind === 'table')
    for (let row = 0; row < Math.min(20, content.table.n); row++)
      expect(content.table.columns.every((_, c) => typeof content.table.cell(row, c) === 'string')).toBe(
        true,
      );
}

describe('cut files', () => {
  it.each(fixtures)('$name, cut at 60 places', async ({ name, bytes }) => {
    for (let i = 0; i < 60; i++) {
      const cut = bytes.subarray(0, Math.floor((bytes.length * i) / 60));
      expectUsable(await readBy(readerOf(name), name, cut), name);
    }
  });
});

describe('damaged files', () => {
  it.each(fixtures)('$name, 60 copies with bytes changed', async ({ name, bytes }) => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(bytes.length - 1), fc.nat(255)), { minLength: 1, maxLength: 8 }),
        async (changes) => {
          const copy = bytes.slice();
          for (const [at, value] of changes) copy[at] = value;
          expectUsable(await readBy(readerOf(name), name, copy), name);
        },
      ),
      { numRuns: 60, seed: SEED },
    );
  });

  it('markup of any kind in any order (1000 files)', async () => {
    const words = ['<gpx>', '</gpx>', '<wpt lat="39" lon="-82">', '</wpt>', '<trk>', '<trkseg>', '</trkseg>', '</trk>', '<trkpt lat="1" lon="1"/>', '<rte>', '<rtept lat="x" lon="2">', '</rtept>', '</rte>', '<name>', '</name>', '<!--', '-->', '<![CDATA[', ']]>', '<?xml?>', '<!DOCTYPE gpx>', '&amp;', '&#x110000;', '"', "'", '<', '>', '/', ' ', 'x', '\0', '<kml>', '<Placemark>', '</Placemark>', '<Point>', '<coordinates>', '1,2 ,3', '</coordinates>', '</Point>', '<Folder>', '</Folder>', '</kml>', '<a b=c d/>', '<x:y xmlns:x="">']; // prettier-ignore
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(gpx, kml),
        fc.array(fc.constantFrom(...words), { maxLength: 40 }),
        async (format, parts) => {
          const root = format === gpx ? '<gpx>' : '<kml>';
          expectUsable(await readBy(format, 'a.xml', utf8(root + parts.join(''))), 'a.xml');
        },
      ),
      { numRuns: 1000, seed: SEED },
    );
  });
});

describe('misnamed files', () => {
  const NAMES = ['a.gpx', 'a.kml', 'a.kmz', 'a.xlsx', 'a.jpg', 'a.heic', 'a.csv', 'a.tif', 'a'];
  it.each(['gdal-three.gpx', 'gdal-kml.kml', 'oak.jpg', 'oak.heic'])(
    '%s goes by its content',
    async (own) => {
      const file = fixtures.find((f) => f.name === own);
      if (!file) throw new Error(`no fixture ${own}`);
      const right = await openSource(memorySource(own, file.bytes));
      if (!right.ok) throw new Error(right.failure.what);
      for (const name of NAMES) {
        const opened = await openSource(memorySource(name, file.bytes));
        expect(opened, name).toMatchObject({ ok: true, value: { format: right.value.format } });
      }
    },
  );

  it.each(NAMES)('nothing, or something else, under the name %s', async (name) => {
    for (const bytes of [new Uint8Array(0), utf8('<!DOCTYPE html><html></html>'), utf8('<?xml version="1.0"?><svg xmlns="x"/>'), utf8('<?xml version="1.0"?>')]) {
      const opened = await openSource(memorySource(name, bytes));
      if (opened.ok) throw new Error(`${name} was read`);
      expectPlain(opened.failure, name);
    } // prettier-ignore
  });
});

describe('files that are made to do harm', () => {
  const bomb =
    '<!DOCTYPE lolz [<!ENTITY a "aaaaaaaaaa">' +
    Array.from({ length: 9 }, (_, i) => `<!ENTITY a${i + 1} "${`&a${i || ''};`.repeat(10)}">`).join('') +
    ']>';
  const foreign = '<!DOCTYPE x [<!ENTITY xxe SYSTEM "file:///etc/passwd">]>';
  const wpt = '<gpx><wpt lat="39" lon="-82"><name>&a9;&xxe;</name></wpt></gpx>';
  it.each([
    ['entities in entities', gpx, bomb + wpt],
    ['an entity of another file', gpx, foreign + wpt],
    ['the same in KML', kml, `${bomb}<kml><Placemark/></kml>`],
  ])('%s: refused', async (_, format, text) => {
    const opened = await readBy(format, 'a.xml', utf8(text));
    if (opened.ok) throw new Error('was read');
    expect(opened.failure.what).toMatch(/defines entities of its own/);
    expectPlain(opened.failure, 'a.xml');
  });

  it.each([
    ['tags', '<a>'.repeat(300_000)],
    ['tags without an end', '<a '.repeat(300_000)],
    ['quotes', `<a b="${`'"`.repeat(300_000)}`],
    ['comments', '<!--'.repeat(300_000)],
    ['references', `<gpx><wpt lat="1" lon="1"><name>${'&#38;'.repeat(300_000)}</name></wpt></gpx>`],
    ['brackets in a description', `<kml><Placemark><description>${'&lt;'.repeat(300_000)}</description><Point><coordinates>1,1</coordinates></Point></Placemark></kml>`], // prettier-ignore
    ['script in a description', `<kml><Placemark><description><![CDATA[${'<script></'.repeat(300_000)}]]></description><Point><coordinates>1,1</coordinates></Point></Placemark></kml>`], // prettier-ignore
    ['commas', `<kml><Placemark><LineString><coordinates>${' , '.repeat(300_000)}</coordinates></LineString></Placemark></kml>`], // prettier-ignore
    ['attributes', `<gpx ${Array.from({ length: 100_000 }, (_, i) => `a${i}="1"`).join(' ')}><wpt lat="1" lon="1"/></gpx>`], // prettier-ignore
  ])('%s without end: no hang', async (_, text) => {
    for (const format of [gpx, kml]) expectUsable(await readBy(format, 'a.xml', utf8(text)), 'a.xml');
  });

  it('a ring of 200,000 corners, and a line of as many', async () => {
    const positions = Array.from({ length: 200_000 }, (_, i) => {
      const a = (i / 200_000) * 2 * Math.PI;
      return `${-82 + Math.cos(a)},${39 + Math.sin(a)},0`;
    }).join(' ');
    const ring = `<kml><Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>${positions}</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></kml>`;
    const opened = await readBy(kml, 'a.kml', utf8(ring));
    if (!opened.ok || opened.value.content.kind !== 'polygon') throw new Error('polygons were expected');
    expect(opened.value.content.features[0].geometry[0][0]).toHaveLength(200_001);
  });

  it('script and formulas in attributes stay text', async () => {
    const text =
      '<kml><Placemark><name>&lt;script&gt;alert(1)&lt;/script&gt;</name><ExtendedData><Data name="onclick"><value>=HYPERLINK("x")</value></Data>' +
      '<Data name="__proto__"><value>x</value></Data></ExtendedData><Point><coordinates>-82,39</coordinates></Point></Placemark></kml>';
    const opened = await readBy(kml, 'a.kml', utf8(text));
    if (!opened.ok || opened.value.content.kind !== 'point') throw new Error('points were expected');
    expect(opened.value.content.features[0].attributes).toMatchObject({
      name: '<script>alert(1)</script>',
      onclick: '=HYPERLINK("x")',
    });
    expect(({} as Record<string, unknown>).x).toBeUndefined();
  });

  it('paths that climb out of a KMZ', async () => {
    const zip = zipSync({ '../../doc.kml': utf8('<kml/>') });
    const opened = await readBy(kmz, 'a.kmz', zip);
    if (opened.ok) throw new Error('was read');
    expect(opened.failure.what).toMatch(/names a path outside of itself/);
  });

  it('a KMZ and a workbook that state to unpack to very much: refused before memory is taken', async () => {
    let state = SEED;
    const noise = Uint8Array.from({ length: 1_000_000 }, () => {
      state = (Math.imul(state, 1_103_515_245) + 12_345) >>> 0;
      return state >>> 24;
    });
    for (const [format, path] of [[kmz, 'doc.kml'], [workbook, 'xl/workbook.xml']] as const)
      for (const [size, what] of [[210e6, /unpacks to 210 MB/], [1.9e9, /MB|times its size/], [4.2e9, /MB|times its size/]] as const) {
        const zip = zipSync({ '[Content_Types].xml': utf8('<a/>'), [path]: noise });
        // The size in the list of the zip (APPNOTE 4.3.12: at 24 of the entry, whose name begins at 46).
        const entry = Buffer.from(zip).lastIndexOf(path, undefined, 'latin1') - 46;
        new DataView(zip.buffer, zip.byteOffset).setUint32(entry + 24, size, true);
        const opened = await readBy(format, 'a.kmz', zip);
        if (opened.ok) throw new Error('was read');
        expect(opened.failure.what).toMatch(what);
        expectPlain(opened.failure, 'a.kmz');
      } // prettier-ignore
  });

  it('documents of a KMZ that link to each other', async () => {
    const link = (to: string) => `<kml><NetworkLink><Link><href>${to}</href></Link></NetworkLink></kml>`;
    const zip = zipSync({ 'doc.kml': strToU8(link('b.kml')), 'b.kml': strToU8(link('doc.kml')) });
    const opened = await readBy(kmz, 'a.kmz', zip);
    if (opened.ok) throw new Error('was read');
    expect(opened.failure.what).toMatch(/holds no points, lines or polygons/);
  });

  it('positions that are no numbers, or beyond the world, are left out with a note', async () => {
    const points = ['NaN,1', 'Infinity,1', '1,91', '400,1', '0x10,1e400', ',', '-82,39'];
    const text = `<kml>${points.map((p) => `<Placemark><Point><coordinates>${p}</coordinates></Point></Placemark>`).join('')}</kml>`;
    const opened = await readBy(kml, 'a.kml', utf8(text));
    expect(opened).toMatchObject({ ok: true, value: { count: 1, extent: [-82, 39, -82, 39] } });
    if (opened.ok) expect(opened.value.notes.length).toBeGreaterThan(0);
  });
});
