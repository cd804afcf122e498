import { createExpression, validateStyleMin } from '@maplibre/maplibre-gl-style-spec';
import { describe, expect, it } from 'vitest';
import { MATCH_RAMP } from '../../src/map/colours.ts';
import { rank } from '../../src/map/order.ts';
import type { MapSource, MapStyle, Outlines } from '../../src/map/mapStyle.ts';
import { styleOf } from '../../src/map/style.ts';
import type { MapView } from '../../src/map/view.ts';
import { BARE, FULL } from './views.ts';

const PICTURES: MapView['basemap'] = {
  kind: 'raster',
  tiles: 'https://example.org/{z}/{x}/{y}.png',
  scheme: 'tms',
  minZoom: 0,
  maxZoom: 19,
  extent: null,
  vectorLayers: [],
};
const VECTOR_TILES: MapView['basemap'] = {
  ...PICTURES,
  kind: 'vector',
  scheme: 'xyz',
  vectorLayers: ['water', 'roads', 'places'],
};

const OUTLINES: Outlines = {
  states: { type: 'MultiLineString', coordinates: [] },
  counties: { type: 'MultiLineString', coordinates: [] },
  names: [],
};

/** As the published style specification writes it, with a stand-in for the data of files. */
function written({ sources, layers }: MapStyle): Parameters<typeof validateStyleMin>[0] {
  const source = (s: MapSource) => {
    if (s.kind === 'raster') return { type: 'raster', tiles: [s.tiles], bounds: s.bounds, tileSize: 256 };
    if (s.kind === 'basemap') {
      const { type, tiles, scheme, minzoom, maxzoom } = s;
      return { type, tiles: [tiles], scheme, minzoom, maxzoom };
    }
    const features = s.kind === 'features' ? s.features() : [];
    return { type: 'geojson', data: { type: 'FeatureCollection', features }, ...s.options };
  };
  return {
    version: 8,
    // Only asked for by the specification's own reader: the map draws labels with the fonts of the page.
    glyphs: 'none/{fontstack}/{range}',
    sources: Object.fromEntries(Object.entries(sources).map(([id, s]) => [id, source(s)])),
    layers,
  } as Parameters<typeof validateStyleMin>[0];
}
const features = (style: MapStyle, id: string) => {
  const source = style.sources[id];
  if (source?.kind !== 'features') throw new Error(`no features in ${id}`);
  return source.features();
};
const layer = (style: MapStyle, id: string) => style.layers.find((l) => l.id === id);

describe('the style of the map', () => {
  const looks: Array<[string, MapView, Outlines | null]> = [
    ['everything, light', FULL, OUTLINES],
    ['pictures beneath', { ...FULL, basemap: PICTURES }, OUTLINES],
    ['pictures beneath, dark', { ...FULL, scheme: 'dark', basemap: PICTURES }, OUTLINES],
    ['vector tiles beneath', { ...FULL, basemap: VECTOR_TILES }, OUTLINES],
    ['everything, dark', { ...FULL, scheme: 'dark' }, OUTLINES],
    ['nothing', BARE, null],
  ];
  for (const [name, view, outlines] of looks) {
    it(`holds to the style specification and to the order: ${name}`, () => {
      const style = styleOf(view, outlines);
      expect(validateStyleMin(written(style)).map((e) => e.message)).toEqual([]);
      const ranks = style.layers.map((l) => rank(l.id));
      expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
      expect(new Set(style.layers.map((l) => l.id)).size).toBe(style.layers.length);
      for (const l of style.layers)
        if ('source' in l && typeof l.source === 'string') expect(style.sources).toHaveProperty([l.source]);
    });
  }

  it('draws the match surface over the rasters and under all lines, under an address that tells what it is of', () => {
    const style = styleOf(FULL, OUTLINES);
    const ids = style.layers.map((l) => l.id);
    const at = ids.indexOf('surface');
    expect(Math.max(...ids.flatMap((id, i) => (id.startsWith('raster/') ? [i] : [])))).toBeLessThan(at);
    const lines = style.layers.flatMap((l, i) =>
      l.type === 'line' && !/^(states|counties)/.test(l.id) ? [i] : [],
    );
    expect(Math.min(...lines)).toBeGreaterThan(at);
    const address = (view: MapView): string => {
      const { surface } = styleOf(view, null).sources;
      return surface.kind === 'raster' ? surface.tiles : '';
    };
    expect(address(FULL)).toBe('kinstand-surface://3/0.05/light/{z}/{x}/{y}');
    expect(address({ ...FULL, scheme: 'dark' })).toContain('/dark/');
  });

  it('shades zones by their share with the ramp of the match and writes the share beside it', () => {
    const style = styleOf(FULL, null);
    const shade = layer(style, 'zone shade') as { filter: unknown; paint: Record<string, unknown> };
    const run = (index: number, e: unknown, type = 'boolean'): unknown => {
      const compiled = createExpression(e, 'layers[0].paint.fill-color', { type } as never);
      if (compiled.result === 'error') throw new Error(compiled.value[0].message);
      return compiled.value.evaluate({ zoom: 8 }, { type: 'Polygon', properties: { index } } as never);
    };
    const colour = (index: number): string => String(run(index, shade.paint['fill-color'], 'color'));
    // Shares of FULL: 0.4 of the first zone, none known of the second, nothing of the third.
    expect(colour(2)).toBe(String(run(0, ['to-color', MATCH_RAMP[0]], 'color')));
    expect(colour(0)).not.toBe(colour(2));
    expect([0, 1, 2].map((i) => run(i, shade.filter))).toEqual([true, false, true]);
    expect(features(style, 'zone share').map((f) => f.properties?.['text'] as string)).toEqual(['40 %']);
    const bare =
      FULL.zoneShades && styleOf({ ...FULL, zoneShades: { ...FULL.zoneShades, wash: false } }, null);
    expect(bare && (layer(bare, 'zone shade') as typeof shade).paint['fill-opacity']).toBe(0);
  });

  it('is the same for the same view, and makes no features anew for it', () => {
    const [a, b] = [styleOf(FULL, OUTLINES), styleOf({ ...FULL, members: [...FULL.members] }, OUTLINES)];
    expect(JSON.stringify(a.layers)).toBe(JSON.stringify(b.layers));
    const key = (s: MapSource): unknown => (s.kind === 'file' ? s.blob : s.key);
    for (const id of Object.keys(a.sources)) expect(key(a.sources[id])).toBe(key(b.sources[id]));
  });

  it('draws discs of half the spacing to ground scale', () => {
    const [disc] = features(styleOf(FULL, null), 'disc');
    const ring = (disc.geometry as GeoJSON.Polygon).coordinates[0];
    expect(ring[0]).toEqual(ring[ring.length - 1]);
    // Half of 402.336 m (a quarter mile) is 201.168 m; one degree of latitude at 38.5 N is 111,006 m (WGS 84, from memory
    // of the series 111,132.95 - 559.85 cos 2 phi + 1.17 cos 4 phi), so the ring reaches 0.0018124 degrees north.
    const north = Math.max(...ring.map(([, lat]) => lat)) - FULL.members[0].lat;
    expect(Math.abs(north - 201.168 / 111_006)).toBeLessThan(1e-7);
  });

  it('draws the first member on top and marks the one set by a person', () => {
    const members = features(styleOf(FULL, null), 'member');
    expect(members.map((m) => m.id)).toEqual([1, 2]);
    expect(members[0].properties?.['order']).toBeGreaterThan(members[1].properties?.['order'] as number);
    expect(members.map((m) => m.properties?.['mark'] as string)).toEqual([
      'member light',
      'overridden light',
    ]);
  });

  it('shows ruled-out trees and other species on demand only', () => {
    for (const shown of [true, false]) {
      const style = styleOf({ ...FULL, showRuledOut: shown }, null);
      for (const id of ['point out', 'point other'])
        expect(layer(style, id)?.layout?.visibility).toBe(shown ? 'visible' : 'none');
      for (const id of ['point eligible', 'point check'])
        expect(layer(style, id)?.layout?.visibility).toBeUndefined();
    }
  });

  it('sets the zones of all sites off by their index', () => {
    const home = layer(styleOf(FULL, null), 'home line/zones') as { filter?: unknown };
    expect(home.filter).toEqual(['in', ['get', 'index'], ['literal', [2, 0]]]);
  });

  it('marks every site, the first with the larger mark, and rules the ground of those that are areas', () => {
    const style = styleOf(FULL, null);
    expect(features(style, 'site').map((f) => f.properties?.['label'] as string)).toEqual([
      'Pasture',
      'Bottom field',
    ]);
    expect(features(style, 'site').map((f) => f.properties?.['first'] as boolean)).toEqual([true, false]);
    expect(features(style, 'site area').map((f) => f.geometry.type)).toEqual(['MultiPolygon']);
    const ids = style.layers.map((l) => l.id);
    expect(ids.indexOf('site fill')).toBeLessThan(ids.indexOf('disc fill'));
    const points = styleOf({ ...FULL, sites: FULL.sites.slice(0, 1) }, null);
    expect(points.sources).not.toHaveProperty('site area');
  });

  it('draws what is set of an outline whole, and what would close it over the pointer dashed', () => {
    const { drawing } = FULL;
    if (!drawing) throw new Error('nothing is drawn');
    const of = (part: Partial<typeof drawing>) =>
      features(styleOf({ ...FULL, drawing: { ...drawing, ...part } }, null), 'drawing').map((f) => [
        f.properties?.['what'] as string,
        f.geometry.type === 'LineString' ? f.geometry.coordinates.length : 0,
      ]);
    // Two corners and the pointer: ground, the side set, and the way over the pointer back to the first.
    expect(of({})).toEqual([
      ['ground', 0],
      ['set', 2],
      ['open', 3],
      ['first', 0],
      ['corner', 0],
    ]);
    // A finger has no pointer: nothing is closed before the third corner.
    expect(of({ aim: null })).toEqual([
      ['set', 2],
      ['first', 0],
      ['corner', 0],
    ]);
    expect(of({ corners: [], aim: drawing.aim })).toEqual([]);
    expect(of({ corners: drawing.corners.slice(0, 1) })).toEqual([
      ['open', 2],
      ['first', 0],
    ]);
    const third = { lon: -82.49, lat: 38.51 };
    expect(of({ corners: [...drawing.corners, third], aim: null })).toEqual([
      ['ground', 0],
      ['set', 3],
      ['open', 2],
      ['first', 0],
      ['corner', 0],
      ['corner', 0],
    ]);
    expect(styleOf(BARE, null).sources).not.toHaveProperty('drawing');
  });

  it('asks for pictures by an address that keeps odd ids whole', () => {
    const source = styleOf(FULL, null).sources['raster/annual/rain?'];
    if (source.kind !== 'raster') throw new Error('no raster');
    expect(source.tiles).toBe('kinstand://annual%2Frain%3F/values/light/b%20c/{z}/{x}/{y}');
  });

  it('draws the user’s basemap in place of the outlines, under all else', () => {
    const style = styleOf({ ...FULL, basemap: PICTURES }, OUTLINES);
    expect(style.layers.slice(0, 2).map((l) => l.id)).toEqual(['paper', 'basemap/pictures']);
    expect(style.sources).not.toHaveProperty('states');
  });

  it('puts one ring where the day ends where it starts', () => {
    expect(features(styleOf(FULL, null), 'route end').map((f) => f.properties?.['label'] as string)).toEqual([
      'Start and end',
    ]);
  });

  it('draws whole layers over one another where the user has put them in an order', () => {
    const order = ['zones', 'roads', 'settings'];
    const vectors = FULL.vectors.map((v) =>
      order.includes(v.id) ? { ...v, level: order.indexOf(v.id) } : v,
    );
    const ids = styleOf({ ...FULL, vectors }, null).layers.map((l) => l.id);
    const at = (id: string) => ids.indexOf(id);
    expect(at('zone line/zones')).toBeLessThan(at('road/roads'));
    expect(at('road/roads')).toBeLessThan(at('setting fill/settings'));
    expect(at('setting fill/settings')).toBeLessThan(at('setting edge/settings'));
    // Beneath the trees all the same.
    expect(at('setting edge/settings')).toBeLessThan(at('point eligible'));
    expect(at('raster/elevation')).toBeLessThan(at('zone line/zones'));
  });

  it('outlines what a question is about, over all but what is pointed at', () => {
    const style = styleOf(FULL, null);
    const ids = style.layers.map((l) => l.id);
    expect(ids.indexOf('outline line')).toBeGreaterThan(ids.indexOf('site'));
    expect(ids.indexOf('outline line')).toBeLessThan(ids.indexOf('pointed'));
    expect(features(style, 'outline').map((f) => f.geometry.type)).toEqual(['Polygon', 'Point']);
    expect(styleOf(BARE, null).sources).not.toHaveProperty('outline');
  });
});

describe('the evidence about the chosen tree', () => {
  const run = (lit: string | null, part: 'paint', of: string, property: string, pieces: string): unknown => {
    if (!FULL.evidence) throw new Error('no evidence');
    const style = styleOf({ ...FULL, evidence: { ...FULL.evidence, lit } }, null);
    const value = (layer(style, of) as unknown as Record<string, Record<string, unknown>>)[part][property];
    if (typeof value === 'number') return value;
    const made = createExpression(value, 'layers[0].paint.line-width', { type: 'number' } as never);
    if (made.result === 'error') throw new Error(made.value[0].message);
    return made.value.evaluate({ zoom: 16 }, { type: 'LineString', properties: { pieces } } as never);
  };

  it('stands out where the piece is pointed at, and fades elsewhere; an id within another is not it', () => {
    const width = (lit: string | null, pieces: string) =>
      run(lit, 'paint', 'evidence link', 'line-width', pieces) as number;
    const usual = width(null, '|road|');
    expect(width('road', '|building|road|')).toBeGreaterThan(usual);
    expect(width('road', '|roadRow|')).toBeLessThan(usual);
    expect(run('road', 'paint', 'evidence link', 'line-opacity', '|roadRow|')).toBeLessThan(0.5);
  });

  it('says in words what each line is, with its length, and is drawn to ground scale', () => {
    const made = features(styleOf(FULL, null), 'evidence');
    const labels = made.filter((f) => f.properties?.['what'] === 'label');
    expect(labels.map((f) => f.properties?.['label'] as string)).toEqual(['100 m', '42 m']);
    const circle = made.find((f) => f.properties?.['what'] === 'circle')?.geometry as GeoJSON.LineString;
    const north = Math.max(...circle.coordinates.map(([, lat]) => lat)) - 39;
    // One degree of latitude at 39 N is 111,016 m (WGS 84, from memory of the series 111,132.95 - 559.85 cos 2 phi + ...).
    expect(Math.abs(north - 100 / 111_016)).toBeLessThan(1e-7);
  });

  it('lies under the marks of trees, and is gone with the sheet', () => {
    const ids = styleOf(FULL, null).layers.map((l) => l.id);
    const own = ids.filter((id) => id.startsWith('evidence') && id !== 'evidence label');
    expect(Math.max(...own.map((id) => ids.indexOf(id)))).toBeLessThan(ids.indexOf('point other'));
    expect(ids.indexOf('evidence label')).toBeLessThan(ids.indexOf('pointed'));
    const without = styleOf({ ...FULL, evidence: null }, null);
    expect(without.sources).not.toHaveProperty('evidence');
    expect(without.layers.filter((l) => l.id.startsWith('evidence'))).toEqual([]);
  });
});
