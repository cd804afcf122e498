/** State and county outlines that come with the app (us-atlas, from US Census Bureau data), read when the map is up. */
import type { Feature, MultiPolygon, Position } from 'geojson';
import countiesUrl from 'us-atlas/counties-10m.json?url';
import { feature, mesh } from 'topojson-client';
import type { GeometryCollection, Topology } from 'topojson-specification';
import type { Outlines } from './mapStyle.ts';

type Atlas = Topology<{ states: GeometryCollection<{ name: string }>; counties: GeometryCollection }>;

let once: Promise<Outlines | null> | null = null;

/** Null where they cannot be read: they are a help to the eye only, the map goes on without and the console says why. */
export const loadOutlines = (): Promise<Outlines | null> =>
  (once ??= read().catch((error: unknown) => {
    console.warn('outlines could not be read', error);
    return null;
  }));

export type OutlineLines = ReadonlyArray<ReadonlyArray<readonly [number, number]>>;

/** The states' lines alone, for drawings without a map; none where they cannot be read. */
export async function stateLines(): Promise<OutlineLines> {
  const outlines = await loadOutlines();
  return outlines?.states.type === 'MultiLineString' ? (outlines.states.coordinates as never) : [];
}

async function read(): Promise<Outlines> {
  const response = await fetch(countiesUrl);
  if (!response.ok) throw new Error(`${response.status} ${response.statusText}`);
  const atlas = (await response.json()) as Atlas;
  const { states, counties } = atlas.objects;
  return {
    states: mesh(atlas, states),
    // Lines between two counties of one state; the state's own line is drawn apart.
    counties: mesh(atlas, counties, (a, b) => a !== b && stateOf(a.id) === stateOf(b.id)),
    names: feature(atlas, states).features.map((f) => ({
      type: 'Feature',
      properties: { name: f.properties.name },
      geometry: { type: 'Point', coordinates: middle(f) },
    })),
  };
}

/** The first two digits of a county's FIPS code are its state's. */
const stateOf = (id: string | number | undefined): string => String(id).padStart(5, '0').slice(0, 2);

/** Centroid of the largest ring, for the name (degrees taken as plane: good enough to set a name by). */
function middle(f: Feature): Position {
  const polygons =
    f.geometry.type === 'Polygon' ? [f.geometry.coordinates] : (f.geometry as MultiPolygon).coordinates;
  let best: Position = [0, 0];
  let largest = 0;
  for (const [ring] of polygons) {
    let area = 0;
    let x = 0;
    let y = 0;
    for (let i = 1; i < ring.length; i++) {
      const cross = ring[i - 1][0] * ring[i][1] - ring[i][0] * ring[i - 1][1];
      area += cross;
      x += (ring[i - 1][0] + ring[i][0]) * cross;
      y += (ring[i - 1][1] + ring[i][1]) * cross;
    }
    if (Math.abs(area) <= largest) continue;
    largest = Math.abs(area);
    best = [x / (3 * area), y / (3 * area)];
  }
  return best;
}
