import type { Box } from '../base/geo.ts';
import { fail, ok, type Result } from '../base/result.ts';
import type { Change } from './change.ts';
import type { Basemap, Plan } from './schema.ts';

/** undefined: back to the outlines that come with the app. */
export function setBasemap(plan: Plan, basemap: Basemap | undefined): Change {
  const { basemap: _old, ...rest } = plan;
  return {
    note: basemap ? 'Set the basemap' : 'Take the basemap off',
    before: plan,
    after: basemap ? { ...rest, basemap } : rest,
  };
}

/** What the map draws as the basemap. */
export interface BasemapTiles {
  readonly kind: 'raster' | 'vector';
  /** Address of tiles with {z}, {x}, {y}. */
  readonly tiles: string;
  /** Which way rows of tiles are counted: from the north (xyz) or from the south (tms). */
  readonly scheme: 'xyz' | 'tms';
  readonly minZoom: number;
  readonly maxZoom: number;
  /** WGS 84 degrees; null where it is not known. */
  readonly extent: Box | null;
  readonly vectorLayers: readonly string[];
}

export interface TileTemplate {
  /** With {z}, {x} and {y}. */
  readonly tiles: string;
  readonly scheme: 'xyz' | 'tms';
}

/**
 * An address of map pictures as people write it: {z}, {x} and {y}, with {-y} where rows are counted from the south.
 * Fails where one of them is missing or another placeholder is left, which the map could not fill in.
 */
export function tileTemplate(address: string): Result<TileTemplate> {
  const where = address.length > 80 ? `${address.slice(0, 80)}…` : address;
  const cannot = (what: string): Result<never> =>
    fail('usage', where, what, 'Give an address such as https://example.org/tiles/{z}/{x}/{y}.png.');
  if (!/^https?:\/\/[^/\s]+\//.test(address)) return cannot('is not an address that begins with https://');
  const south = address.includes('{-y}');
  const tiles = address.replace('{-y}', '{y}');
  for (const part of ['{z}', '{x}', '{y}'])
    if (!tiles.includes(part)) return cannot(`has no ${part} for the number of the tile`);
  const other = /\{(?!z\}|x\}|y\})[^}]*\}/.exec(tiles)?.[0];
  if (other !== undefined) return cannot(`has ${other}, which cannot be filled in`);
  return ok({ tiles, scheme: south ? 'tms' : 'xyz' });
}
