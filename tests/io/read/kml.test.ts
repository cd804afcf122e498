import { kml as otherReader } from '@tmcw/togeojson';
import { DOMParser } from '@xmldom/xmldom';
import { strToU8, zipSync } from 'fflate';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { kml } from '../../../src/io/read/markup/kml.ts';
import { kmz } from '../../../src/io/read/markup/kmz.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const fixture = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../../fixtures/xml/${name}`, import.meta.url)));
const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const whole = (content: string): string =>
  '<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">' +
  `<Document><name>d</name>\n${content}\n</Document></kml>`;
const place = (lonLat = '-82,39', more = ''): string =>
  `<Placemark>${more}<Point><coordinates>${lonLat}</coordinates></Point></Placemark>`;

const attempt = (content: string | Uint8Array, options: ReadOptions = {}) =>
  typeof content === 'string'
    ? kml.read(memorySource('a.kml', utf8(whole(content))), options)
    : content[0] === 0x50
      ? kmz.read(memorySource('a.kmz', content), options)
      : kml.read(memorySource('a.kml', content), options);

async function read(content: string | Uint8Array, options: ReadOptions = {}): Promise<Opened> {
  const opened = await attempt(content, options);
  if (!opened.ok) throw new Error(`${opened.failure.where} ${opened.failure.what}`);
  return opened.value;
}

async function failureOf(content: string | Uint8Array, options: ReadOptions = {}) {
  const opened = await attempt(content, options);
  if (opened.ok) throw new Error('a failure was expected');
  return opened.failure;
}

function featuresOf({ content }: Opened) {
  if (content.kind === 'raster' || content.kind === 'table') throw new Error('features were expected');
  return content.features;
}
const attributes = (opened: Opened) => featuresOf(opened).map((f) => f.attributes);
const notes = (opened: Opened): string => opened.notes.map((n) => n.what).join('\n');

describe('KML as GDAL 3.6 writes it', () => {
  const parts = [
    { name: 'points', kind: 'point', count: 3 },
    { name: 'lines', kind: 'line', count: 2 },
    { name: 'polygons', kind: 'polygon', count: 2 },
  ];

  it.each(['gdal-libkml.kml', 'gdal-kml.kml', 'gdal-libkml.kmz'])(
    '%s: points, lines and polygons are parts, and none is lost',
    async (name) => {
      const points = await read(fixture(name));
      expect(points).toMatchObject({ crs: 'EPSG:4326', part: 'points', parts });
      expect(points.format).toBe(name.endsWith('z') ? 'KMZ' : 'KML');
      const folder = name === 'gdal-kml.kml' ? { folder: 'places' } : {};
      const empty = { description: null, dbh: null, planted: null, seen: null };
      const two = { ...empty, name: 'Two trees', code: '008', seen: 1, ...folder };
      expect(featuresOf(points)).toEqual([
        {
          lon: -82.1,
          lat: 39.3,
          attributes: {
            name: 'Gate',
            description: 'Locked after dark',
            code: '007',
            dbh: 64.5,
            planted: 0,
            seen: 3,
            ...folder,
          },
        },
        { lon: -82.12, lat: 39.31, attributes: two },
        { lon: -82.13, lat: 39.32, attributes: two },
        { lon: -82, lat: 39, attributes: { ...empty, name: 'Everything', code: '012', ...folder } },
      ]);
      expect(notes(points)).toMatch(/shapes of several kinds.*\(1\)/);

      const lines = await read(fixture(name), { part: 'lines' });
      expect(featuresOf(lines)).toMatchObject([
        { lines: [[[-82.1, 39.3], [-82.2, 39.4]]], attributes: { name: 'Path', code: '009' } },
        { lines: [[[-82, 39], [-82.01, 39.01]]], attributes: { name: 'Everything' } },
      ]); // prettier-ignore

      const areas = featuresOf(await read(fixture(name), { part: 'polygons' }));
      expect(areas).toMatchObject([{ attributes: { name: 'Stand', dbh: 1000 } }, { attributes: { name: 'Two stands' } }]); // prettier-ignore
      expect(
        areas.map((a) => ('geometry' in a ? a.geometry.map((p) => p.map((r) => r.length)) : [])),
      ).toEqual([[[5, 5]], [[4], [4]]]);
    },
  );

  it('gives the positions that another library reads (togeojson 7.1 on xmldom 0.9)', async () => {
    const text = new TextDecoder().decode(fixture('gdal-libkml.kml'));
    const document = new DOMParser().parseFromString(text, 'text/xml');
    const { features } = otherReader(document);
    const positions = (geometry: unknown): string[] =>
      [...JSON.stringify(geometry).matchAll(/\[(-?[\d.]+),(-?[\d.]+)(?:,0)?\]/g)].map(
        (m) => `${m[1]},${m[2]}`,
      );
    const theirs = features.flatMap((f) => positions(f.geometry)).sort();
    const ours: string[] = [];
    for (const part of ['points', 'lines', 'polygons'])
      for (const f of featuresOf(await read(fixture('gdal-libkml.kml'), { part })))
        ours.push(...('lon' in f ? [`${f.lon},${f.lat}`] : positions('lines' in f ? f.lines : f.geometry)));
    expect(ours.sort()).toEqual(theirs);
    expect(ours).toHaveLength(26);
  });
});

describe('KML', () => {
  it('names the folders around a placemark', async () => {
    const opened = await read(
      `<Folder><name>Ohio</name>${place()}<Folder><name> Athens </name>${place()}</Folder><Folder>${place()}</Folder></Folder>${place()}`,
    );
    expect(attributes(opened).map((a) => a.folder)).toEqual(['Ohio', 'Ohio / Athens', 'Ohio', null]);
  });

  it('keeps extended data of both kinds, typed where the file says the type', async () => {
    const opened = await read(
      '<Schema id="s"><SimpleField name="n" type="int"/><SimpleField name="ok" type="bool"/></Schema>' +
        place(
          '-82,39',
          '<name>A</name><ExtendedData><Data name="dbh"><displayName>x</displayName><value>064</value></Data>' +
            '<Data name="name"><value>other</value></Data><SchemaData schemaUrl="#s"><SimpleData name="n">7</SimpleData>' +
            '<SimpleData name="ok">1</SimpleData><SimpleData name="free">0012</SimpleData></SchemaData>' +
            '<c:crew xmlns:c="http://example.org">two</c:crew></ExtendedData>' +
            '<TimeStamp><when>2026-02-14</when></TimeStamp>',
        ),
    );
    expect(attributes(opened)).toEqual([
      {
        name: 'A',
        time: '2026-02-14',
        dbh: '064',
        'name 2': 'other',
        n: 7,
        ok: true,
        free: '0012',
        crew: 'two',
      },
    ]);
  });

  it('gives descriptions as plain text; nothing in them is run', async () => {
    const html =
      '<![CDATA[<style>p{}</style><script>alert("x")</script><p>White&nbsp;oak, <b>tall</b><br/>64&#160;cm &lt; 70 cm</p>' +
      '<table><tr><td>Owner</td><td>County</td></tr></table><img src=x onerror="alert(1)">]]>';
    const [first] = attributes(await read(place('-82,39', `<description>${html}</description>`)));
    expect(first.description).toBe('White oak, tall\n64 cm < 70 cm\nOwner | County');
  });

  it('reads heights and gx:Track as lines, and says what it drops', async () => {
    const opened = await read(
      '<Placemark><gx:Track><when>2026-02-14T10:00:00Z</when><when>2026-02-14T10:01:00Z</when>' +
        '<gx:coord>-82 39 200</gx:coord><gx:coord>-82.1 39.1 210</gx:coord></gx:Track></Placemark>',
    );
    expect(featuresOf(opened)).toMatchObject([{ lines: [[[-82, 39], [-82.1, 39.1]]] }]); // prettier-ignore
    expect(notes(opened)).toBe('heights were dropped (1)\ntimes of single positions were dropped (1)');
  });

  it('reads coordinates as people write them', async () => {
    const opened = await read(
      '<Placemark><LineString><coordinates>\n -82.1, 39.2, 0\n\t-82.2 ,39.3\n -82.3,39.4,0 </coordinates></LineString></Placemark>',
    );
    expect(featuresOf(opened)).toMatchObject([{ lines: [[[-82.1, 39.2], [-82.2, 39.3], [-82.3, 39.4]]] }]); // prettier-ignore
  });

  it('leaves shapes out that are no places, and says so', async () => {
    const opened = await read(
      place() + place('NaN,39') + place('39,-95') + place('') + place('-82') + place('1e99,0') +
        '<Placemark><name>none</name></Placemark><Placemark><Model/></Placemark>' +
        '<Placemark><Polygon><innerBoundaryIs><LinearRing><coordinates>0,0 1,1 1,0 0,0</coordinates></LinearRing></innerBoundaryIs></Polygon></Placemark>',
    ); // prettier-ignore
    expect(opened.count).toBe(1);
    expect(notes(opened).split('\n')).toEqual([
      'a shape with a position that is not longitude and latitude in degrees: left out (3)',
      "a shape with a latitude beyond 90 degrees (are latitude and longitude in each other's place?): left out (1)",
      'a point without a position: left out (1)',
      'a placemark without a place: left out (1)',
      'a 3D model: left out (1)',
      'a polygon without an outline: left out (1)',
    ]);
  });

  it('says what it does not read, and follows no link', async () => {
    const others =
      '<GroundOverlay><LatLonBox><north>1</north></LatLonBox></GroundOverlay><PhotoOverlay><Point><coordinates>1,1</coordinates></Point></PhotoOverlay><ScreenOverlay/><gx:Tour/>';
    const link = '<NetworkLink><Link><href>https://example.org/oaks.kml</href></Link></NetworkLink>';
    const opened = await read(place() + others + link);
    expect(opened.count).toBe(1);
    expect(notes(opened).split('\n')).toEqual([
      'pictures laid on the ground: left out (1)',
      'photos with a camera position: left out (1)',
      'pictures laid on the screen: left out (1)',
      'tours: left out (1)',
      'a link to other files (https://example.org/oaks.kml) was not followed',
    ]);
    expect(await failureOf(link)).toEqual({
      code: 'content',
      where: 'a.kml',
      what: 'holds only a link to another file (https://example.org/oaks.kml), which is not followed',
      todo: 'Open that address in a browser, and give the file that it holds.',
    });
    expect((await failureOf(others)).what).toMatch(/^holds no points.*pictures laid on the ground/);
  });

  it('offers the kind first that most placemarks are', async () => {
    const area =
      '<Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>0,0 1,0 1,1 0,0</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>';
    const opened = await read(place() + area + area);
    expect(opened.part).toBe('polygons');
    expect(notes(opened)).toMatch(/"polygons" was read; the file also holds "points" \(1\)/);
  });

  it('keeps names that JavaScript has a use for', async () => {
    const data = ['__proto__', 'constructor', 'toString'].map(
      (n) => `<Data name="${n}"><value>x</value></Data>`,
    );
    const opened = await read(
      `<constructor/>${place('-82,39', `<ExtendedData>${data.join('')}</ExtendedData><toString/>`)}`,
    );
    expect(attributes(opened)[0]).toMatchObject({ constructor: 'x', toString: 'x' });
  });
});

describe('KMZ', () => {
  const doc = (content: string): Uint8Array => strToU8(whole(content));
  it('reads doc.kml, else the first KML file, and says what it leaves', async () => {
    const both = await read(
      zipSync({ 'b.kml': doc(place() + place()), 'doc.kml': doc(place()), 'x.png': strToU8('x') }),
    );
    expect(both).toMatchObject({ format: 'KMZ', count: 1 });
    expect(notes(both)).toBe('doc.kml was read; it also holds another KML file (b.kml)');
    expect((await read(zipSync({ 'files/x.kml': doc(place()) }))).count).toBe(1);
  });

  it('follows links within the zip, each document once, and none out of it', async () => {
    const link = (to: string) => `<NetworkLink><Link><href>${to}</href></Link></NetworkLink>`;
    const opened = await read(
      zipSync({
        'doc.kml': doc(link('sub/a%20b.kml') + link('./sub/a%20b.kml#x') + link('http://example.org/a.kml')),
        'sub/a b.kml': doc(place() + link('../doc.kml') + link('../c.kml') + link('../../../etc/passwd')),
        'c.kml': doc(place()),
      }),
    );
    expect(opened.count).toBe(2);
    expect(notes(opened)).toBe('2 links to other files (http://example.org/a.kml) were not followed');
  });

  it('is known by its name or its first file', () => {
    const zip = zipSync({ 'doc.kml': doc(place()) });
    expect(kmz.recognises(zip.subarray(0, 512), 'a.zip')).toBe(true);
    expect(kmz.recognises(zipSync({ 'a.shp': strToU8('') }).subarray(0, 512), 'a.zip')).toBe(false);
    expect(kmz.recognises(zipSync({ 'a.png': strToU8('') }).subarray(0, 512), 'a.KMZ')).toBe(true);
    expect(kmz.recognises(utf8(whole('')), 'a.kmz')).toBe(false);
  });

  it('refuses a zip without KML, and one that is damaged', async () => {
    expect((await failureOf(zipSync({ 'a.png': strToU8('x') }))).what).toBe(
      'is a zip without a KML file in it',
    );
    const zip = zipSync({ 'doc.kml': doc(place()) });
    expect((await failureOf(zip.subarray(0, zip.length - 30))).what).toMatch(/cut short|damaged/);
  });
});
