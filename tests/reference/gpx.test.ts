import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gpx, type Gpx } from '../../src/io/write/gpx.ts';
import { gpxBreaches } from './gpx.ts';
import { parseXml } from './xml.ts';

const example: Gpx = {
  name: 'Scouting, <North> & "South"',
  description: "Owner's leave needed",
  time: '2026-09-14T11:30:00.000Z',
  waypoints: [{ lon: -82.5, lat: 39.25, name: '1 T-12', description: 'arrive 08:10', type: 'Mother tree' }],
  route: {
    name: 'Day',
    points: [
      { lon: -82.6, lat: 39.2, name: 'Office' },
      { lon: -82.5, lat: 39.25, name: '1 T-12' },
    ],
  },
};

describe('GPX 1.1', () => {
  it('is this document, element by element in the order of the schema (checked by hand against it)', () => {
    expect(gpx(example)).toBe(
      `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="Kinstand" xmlns="http://www.topografix.com/GPX/1/1" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:schemaLocation="http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd">
  <metadata>
    <name>Scouting, &lt;North&gt; &amp; &quot;South&quot;</name>
    <desc>Owner&apos;s leave needed</desc>
    <time>2026-09-14T11:30:00.000Z</time>
  </metadata>
  <wpt lat="39.2500000" lon="-82.5000000">
    <name>1 T-12</name>
    <desc>arrive 08:10</desc>
    <type>Mother tree</type>
  </wpt>
  <rte>
    <name>Day</name>
    <rtept lat="39.2000000" lon="-82.6000000">
      <name>Office</name>
    </rtept>
    <rtept lat="39.2500000" lon="-82.5000000">
      <name>1 T-12</name>
    </rtept>
  </rte>
</gpx>
`,
    );
  });

  it('holds to the schema for any names and places', () => {
    const point = fc.record({
      lon: fc.double({ min: -540, max: 540, noNaN: true }),
      lat: fc.double({ min: -90, max: 90, noNaN: true }),
      name: fc.string({ unit: 'binary' }),
      description: fc.option(fc.string({ unit: 'binary' }), { nil: undefined }),
      type: fc.option(fc.string(), { nil: undefined }),
    });
    fc.assert(
      fc.property(fc.array(point), fc.string({ unit: 'binary' }), fc.boolean(), (waypoints, name, routed) => {
        const route = routed ? { name, points: waypoints } : null;
        const text = gpx({ name, description: name, time: example.time, waypoints, route });
        // As a file: bytes in UTF-8 and back.
        const file = new TextDecoder('utf-8', { fatal: true }).decode(new TextEncoder().encode(text));
        expect(gpxBreaches(parseXml(file))).toEqual([]);
      }),
      { seed: 11, numRuns: 200 },
    );
  });

  it('keeps longitude under 180 also where rounding would reach it', () => {
    const lons = [180, -180, 179.99999999, -180.00000001, 190, -82.1234567].map((lon) => ({
      lon,
      lat: 0,
      name: '',
    }));
    const root = parseXml(gpx({ ...example, waypoints: lons, route: null }));
    expect(root.children.filter((c) => c.name === 'wpt').map((w) => w.attributes['lon'])).toEqual([
      '-180.0000000',
      '-180.0000000',
      '-180.0000000',
      '-180.0000000',
      '-170.0000000',
      '-82.1234567',
    ]);
  });

  it('leaves out characters that XML cannot hold, and half characters', () => {
    const name = 'a\u0000b\u000bc\u001fd\ufffee\ud800f';
    const root = parseXml(gpx({ ...example, name, waypoints: [], route: null }));
    expect(root.children[0].children[0].text).toBe('abcdef');
  });
});

describe('the check of the structure of GPX', () => {
  const breaches = (text: string): string[] => gpxBreaches(parseXml(text));
  const good = gpx(example);

  it('passes what is right', () => expect(breaches(good)).toEqual([]));

  it.each([
    [
      'elements in the wrong order',
      good.replace(/( *<name>1 T-12<\/name>\n)( *<desc>.*\n)/, '$2$1'),
      'name stands wrongly in wpt',
    ],
    [
      'a route before the waypoints',
      good.replace(/( *<wpt[\s\S]*<\/wpt>\n)( *<rte>[\s\S]*<\/rte>\n)/, '$2$1'),
      'wpt stands wrongly in gpx',
    ],
    ['a longitude of 180', good.replace('lon="-82.5000000"', 'lon="180.0000000"'), 'lon is 180.0000000'],
    ['another version', good.replace('version="1.1"', 'version="1.0"'), 'version is not 1.1'],
    ['local time', good.replace('11:30:00.000Z', '11:30:00'), 'time is 2026-09-14T11:30:00'],
  ])('finds %s', (_, text, expected) => expect(breaches(text)).toContain(expected));

  it('refuses what is not well formed', () => {
    expect(() => parseXml(good.replace('&amp;', '&'))).toThrow(/ampersand/);
    expect(() => parseXml(good.replace('</metadata>', '</meta>'))).toThrow(/metadata/);
  });
});
