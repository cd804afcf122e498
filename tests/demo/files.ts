/** The committed demo files, read with the libraries that the program uses. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { deserialize } from 'flatgeobuf/lib/mjs/geojson.js';
import type { Feature } from 'geojson';
import { fromArrayBuffer, type GeoTIFFImage } from 'geotiff';
import Papa from 'papaparse';
import type { Expected } from '../../demo-data/lib/traps.ts';
import type { Kind } from '../../demo-data/lib/truth.ts';
import type { PlanInput } from '../../src/domain/plan/schema.ts';

/** From the project's folder, since the report is bundled before it runs. */
export const FOLDER = pathToFileURL(`${resolve('demo-data')}/`);
export const bytesOf = (name: string): Uint8Array => new Uint8Array(readFileSync(new URL(name, FOLDER)));
const json = (name: string): unknown => JSON.parse(readFileSync(new URL(name, FOLDER), 'utf8'));

export const plan = json('plan.json') as PlanInput;
export interface ListedTrap {
  readonly ids: readonly string[];
  readonly trap: string;
  readonly planting: string;
  readonly expected: Expected;
  readonly why: string;
}
export const traps = (json('traps.json') as { traps: ListedTrap[] }).traps;
export const trap = (name: string): ListedTrap => {
  const found = traps.find((t) => t.trap === name);
  if (!found) throw new Error(`no trap "${name}" in traps.json`);
  return found;
};

const truthFile = json('truth.json') as {
  kinds: Record<Kind, { origin: 'natural' | 'planted'; how: string }>;
  trees: Record<string, Kind>;
};
/** How the trees came to stand where they do; the app never sees it. */
export const truth = {
  kinds: truthFile.kinds,
  kindOf: new Map(Object.entries(truthFile.trees)),
  originOf(id: string): 'natural' | 'planted' {
    const kind = truth.kindOf.get(id);
    if (!kind) throw new Error(`no truth of ${id}`);
    return truthFile.kinds[kind].origin;
  },
};

export type Row = Record<string, string>;
export const rows = Papa.parse<Row>(readFileSync(new URL('candidates.csv', FOLDER), 'utf8'), {
  header: true,
  skipEmptyLines: true,
}).data;
export const rowOf = (id: string): Row => {
  const found = rows.find((r) => r['id'] === id);
  if (!found) throw new Error(`no candidate ${id}`);
  return found;
};
export const lonLat = (r: Row): [number, number] => [Number(r['lon']), Number(r['lat'])];

export async function features(name: string): Promise<Feature[]> {
  const out: Feature[] = [];
  for await (const f of deserialize(bytesOf(name))) out.push(f);
  return out;
}

export interface Grid {
  readonly image: GeoTIFFImage;
  readonly width: number;
  readonly values: ArrayLike<number>;
  readonly nodata: number | null;
  /** Stored value of the cell at EPSG:5070 x, y. */
  at(x: number, y: number): number;
}
export async function grid(bytes: Uint8Array): Promise<Grid> {
  const tiff = await fromArrayBuffer(bytes.slice().buffer);
  const image = await tiff.getImage(0);
  const [values] = (await image.readRasters()) as unknown as ArrayLike<number>[];
  const [left, top] = image.getOrigin();
  const [cell] = image.getResolution();
  const width = image.getWidth();
  return {
    image,
    width,
    values,
    nodata: image.getGDALNoData(),
    at: (x, y) => values[Math.floor((top - y) / cell) * width + Math.floor((x - left) / cell)],
  };
}
