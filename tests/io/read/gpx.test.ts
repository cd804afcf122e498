import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { gpx } from '../../../src/io/read/markup/gpx.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { Cancelled } from '../../../src/domain/base/work.ts';

const fixture = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../../fixtures/xml/${name}`, import.meta.url)));
const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const whole = (content: string): string =>
  `<?xml version="1.0"?>\n<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">\n${content}\n</gpx>`;

const attempt = (content: string | Uint8Array, options: ReadOptions = {}) =>
  gpx.read(memorySource('day.gpx', typeof content === 'string' ? utf8(whole(content)) : content), options);

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

const spots = ({ content }: Opened) => {
  if (content.kind !== 'point') throw new Error('points were expected');
  return content.features;
};
const tracks = ({ content }: Opened) => {
  if (content.kind !== 'line') throw new Error('lines were expected');
  return content.features;
};
const notes = (opened: Opened): string => opened.notes.map((n) => n.what).join('\n');

describe('GPX 1.1 as GDAL 3.6 writes it', () => {
  const bytes = fixture('gdal-three.gpx');

  it('gives waypoints as points with what is told of them, and says what else is there', async () => {
    const opened = await read(bytes);
    expect(opened).toMatchObject({
      format: 'GPX',
      crs: 'EPSG:4326',
      count: 2,
      part: 'waypoints',
      extent: [-82.1101, 39.3277, -82.1034, 39.3321],
      parts: [
        { name: 'waypoints', kind: 'point', count: 2 },
        { name: 'tracks', kind: 'line', count: 1 },
        { name: 'routes', kind: 'line', count: 1 },
      ],
    });
    expect(spots(opened)).toEqual([
      {
        lon: -82.1034,
        lat: 39.3321,
        attributes: {
          name: 'WO-01',
          desc: 'White oak & shagbark, 64 cm',
          cmt: 'by the gate',
          time: '2026-02-14T15:22:05Z',
          ele: 212.4,
          sym: 'Flag, Green',
          type: 'tree',
          hdop: 1.3,
        },
      },
      {
        lon: -82.1101,
        lat: 39.3277,
        attributes: {
          name: '007',
          desc: 'Chêne blanc <jeune>',
          cmt: null,
          time: null,
          ele: 198,
          sym: null,
          type: null,
          hdop: null,
        },
      },
    ]);
    expect(notes(opened)).toBe('"waypoints" was read; the file also holds "tracks" (1), "routes" (1)');
  });

  it('gives tracks as lines, one for each segment, and says that heights were dropped', async () => {
    const opened = await read(bytes, { part: 'tracks' });
    expect(tracks(opened)).toEqual([
      {
        lines: [
          [[-82.1, 39.3], [-82.101, 39.301], [-82.102, 39.3015]],
          [[-82.11, 39.31], [-82.111, 39.3105]],
        ],
        attributes: { name: 'Ridge walk', type: 'foot', time: null },
      },
    ]); // prettier-ignore
    expect(notes(opened)).toMatch(/single points of tracks was dropped \(heights\)/);
  });

  it('gives routes as lines', async () => {
    const [route] = tracks(await read(bytes, { part: 'routes' }));
    expect(route.attributes.name).toBe('To the stand');
    expect(route.lines).toEqual([[[-82.2, 39.2], [-82.21, 39.22], [-82.22, 39.21]]]); // prettier-ignore
  });

  it('names the parts where another is asked for', async () => {
    const failure = await failureOf(bytes, { part: 'photos' });
    expect(failure).toMatchObject({ code: 'content', where: 'day.gpx', what: 'holds no "photos"' });
    expect(failure.todo).toBe('Choose one of: waypoints, tracks, routes.');
  });
});

describe('GPX 1.0 as GPSBabel 1.8 writes it', () => {
  it('gives the same places as the GPX 1.1 that it was made from', async () => {
    for (const part of ['waypoints', 'tracks', 'routes']) {
      const [ten, eleven] = [
        await read(fixture('gpsbabel-10.gpx'), { part }),
        await read(fixture('gdal-three.gpx'), { part }),
      ];
      expect(ten.extent).toEqual(eleven.extent);
      expect(ten.parts).toEqual(eleven.parts);
      if (part === 'waypoints')
        expect(spots(ten).map((s) => [s.lon, s.lat, s.attributes.name, s.attributes.hdop])).toEqual(
          spots(eleven).map((s) => [s.lon, s.lat, s.attributes.name, s.attributes.hdop]),
        );
      else expect(tracks(ten).map((t) => t.lines)).toEqual(tracks(eleven).map((t) => t.lines));
    }
  });
});

describe('GPX', () => {
  it('reads tracks where there are no waypoints', async () => {
    const opened = await read(
      '<trk><trkseg><trkpt lat="39" lon="-82"><time>2026-02-14T15:00:00Z</time></trkpt><trkpt lat="39.1" lon="-82"/></trkseg></trk>',
    );
    expect(opened).toMatchObject({ part: 'tracks', count: 1 });
    expect(tracks(opened)[0].attributes).toEqual({ time: '2026-02-14T15:00:00Z' });
  });

  it('leaves positions out that are no degrees, and counts them', async () => {
    const opened = await read(
      '<wpt lat="39" lon="-82"><name>A</name></wpt><wpt lat="NaN" lon="-82"/><wpt lon="-82"/><wpt lat="95" lon="1"/>' +
        '<wpt lat="39,5" lon="-82"/><wpt lat="" lon=""/><wpt lat="1e999" lon="0"/>',
    );
    expect(opened.count).toBe(1);
    expect(notes(opened)).toMatch(/^6 positions of waypoints without a latitude within 90/);
    expect(opened.parts).toEqual([{ name: 'waypoints', kind: 'point', count: 1 }]);
  });

  it('refuses a file without any usable position', async () => {
    expect((await failureOf('')).what).toBe('holds no waypoints, tracks or routes');
    expect((await failureOf('<wpt lat="x" lon="y"/>')).what).toMatch(/no degrees/);
    expect((await failureOf('<trk><trkseg><trkpt lat="x" lon="y"/></trkseg></trk>')).what).toMatch(
      /no feature with a usable position/,
    );
  });

  it('keeps what stands before the place where a recorder lost power, and says so', async () => {
    const points = Array.from(
      { length: 20 },
      (_, i) => `<trkpt lat="39.${i + 10}" lon="-82"><ele>1</ele></trkpt>`,
    );
    const text = whole(`<trk><name>A</name><trkseg>\n${points.join('\n')}`);
    for (const end of ['lon="-82"><ele>1', 'lon="-8', '</trkpt>']) {
      const cut = text.slice(0, text.lastIndexOf(end));
      const opened = await read(utf8(cut));
      expect(tracks(opened)[0].lines[0].length).toBeGreaterThanOrEqual(19);
      expect(opened.notes[0]).toEqual({
        where: 'day.gpx, line 23',
        what: 'ends too soon, as if it had been cut short; what stands before was read',
      });
    }
  });

  it('refuses a file that is broken before its end, and notes a slip', async () => {
    const mixed = whole(
      '<wpt lat="39" lon="-82"/>\n<wpt lat="39" lon="-82"></wtp>\n<wpt lat="39" lon="-82"/>',
    );
    expect(await failureOf(utf8(mixed))).toMatchObject({ where: 'day.gpx, line 4', what: expect.stringMatching(/not well-formed/) as string }); // prettier-ignore
    const slip = await read('<wpt lat="39" lon="-82"/>\n<wpt lat="39" lon="-82></wpt>');
    expect(slip.count).toBe(1);
    expect(slip.notes.map((n) => `${n.where}: ${n.what}`)).toEqual([
      'day.gpx, line 4: has markup that is not well-formed and was passed over',
      expect.stringMatching(/^day.gpx: 1 position of waypoints without/),
    ]);
  });

  it('keeps a hair of markup in names as text, and what extensions hold to itself', async () => {
    const opened = await read(
      '<wpt lat="39" lon="-82"><name>&lt;img src=x onerror=alert(1)&gt; &#128512;</name>' +
        '<extensions><name>other</name><ele>5</ele></extensions></wpt>',
    );
    expect(spots(opened)[0].attributes).toEqual({ name: '<img src=x onerror=alert(1)> 😀' });
  });

  it('reads names with a prefix for the namespace', async () => {
    const text =
      '<?xml version="1.0"?><g:gpx xmlns:g="http://www.topografix.com/GPX/1/1"><g:wpt lat="39" lon="-82"/></g:gpx>';
    expect(gpx.recognises(utf8(text), 'a.xml')).toBe(true);
    expect((await read(utf8(text))).count).toBe(1);
  });

  it('reports its progress on a long track, and can be stopped', async () => {
    const points = Array.from(
      { length: 100_000 },
      (_, i) => `<trkpt lat="${39 + i / 1e6}" lon="${-82 - i / 1e6}"><ele>2</ele></trkpt>`,
    ).join('\n');
    const track = `<trk><trkseg>${points}</trkseg></trk>`;
    const heard: number[] = [];
    const opened = await read(track, {
      work: { progress: (done, total) => heard.push(done / total) },
    });
    expect(tracks(opened)[0].lines[0]).toHaveLength(100_000);
    expect(heard.length).toBeGreaterThan(5);
    expect(heard.at(-1)).toBe(1);
    const stopped = attempt(track, { work: { pause: () => Promise.reject(new Cancelled()) } });
    await expect(stopped).rejects.toBeInstanceOf(Cancelled);
  });
});

describe('which files are GPX', () => {
  it.each([
    ['<gpx version="1.1">', 'a.txt', true],
    ['\ufeff<?xml version="1.0"?>\n<!-- made up -->\n<gpx>', 'a', true],
    ['<?xml version="1.0"?><!DOCTYPE gpx SYSTEM "gpx.dtd"><gpx>', 'a.gpx', true],
    ['<?xml version="1.0"?><!-- ' + 'long '.repeat(100), 'a.gpx', true],
    ['<?xml version="1.0"?><!-- ' + 'long '.repeat(100), 'a.xml', false],
    ['<kml>', 'a.gpx', false],
    ['<!DOCTYPE html><html>', 'a.gpx', false],
    ['gpx', 'a.gpx', false],
  ])('%j named %s: %s', (text, name, is) => {
    expect(gpx.recognises(utf8(text.slice(0, 512)), name)).toBe(is);
  });
});
