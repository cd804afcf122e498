/**
 * A writer of cloud-optimised GeoTIFF for one band of 32-bit floats, row by row: it holds the packed tiles and one row of
 * tiles a level. Tiles of 256 cells, deflate with the floating-point predictor, no value = NaN, overviews down to one tile.
 */
import type { Work } from '../../domain/base/work.ts';
import type { SurfaceAbout } from '../../domain/plan/surfaceAbout.ts';
import type { Crs } from '../crs/crs.ts';
import type { Affine } from '../read/rasters/raster.ts';
import { geoKeys, type GeoKeys } from './geotiffKeys.ts';
import { geotiffLayout, type Tag } from './geotiffLayout.ts';
import { xml } from './gpx.ts';
import { halved, TILE, TileLevel } from './geotiffTiles.ts';

export interface GeotiffGrid {
  readonly width: number;
  readonly height: number;
  readonly transform: Affine;
  readonly crs: Crs;
}

export interface GeotiffWriter {
  /** The next rows, whole ones from the top, any number of them; NaN = no value. */
  rows(values: Float32Array): Promise<void>;
  /** After the last row: the file in pieces, to be written one behind the other. */
  end(): Promise<Uint8Array<ArrayBuffer>[]>;
}

/** @param work is asked for a pause with every row of tiles. */
export function openGeotiff(grid: GeotiffGrid, about: SurfaceAbout, work: Work = {}): GeotiffWriter {
  const levels = [new TileLevel(grid.width, grid.height)];
  for (let last = levels[0]; last.width > TILE || last.height > TILE; last = levels[levels.length - 1])
    levels.push(new TileLevel(Math.ceil(last.width / 2), Math.ceil(last.height / 2)));
  /** The upper row of a pair, by level. */
  const upper: Float32Array[] = [];
  const put = (row: Float32Array, l: number): void => {
    const level = levels[l];
    level.take(row);
    if (l + 1 === levels.length) return;
    if (level.taken % 2 === 0) put(halved(upper[l], row), l + 1);
    else if (level.taken === level.height) put(halved(row, null), l + 1);
    else upper[l] = row;
  };
  return {
    async rows(values) {
      const count = values.length / grid.width;
      if (!Number.isInteger(count) || levels[0].taken + count > grid.height)
        throw new Error(`${values.length} cells are not whole rows of ${grid.width} within ${grid.height}`);
      for (let y = 0; y < count; y++) {
        put(values.subarray(y * grid.width, (y + 1) * grid.width), 0);
        const full = levels.filter((l) => l.full);
        for (const level of full) await level.pack();
        if (full.length > 0) await work.pause?.();
      }
      // The caller may write its rows over.
      if (upper[0]) upper[0] = upper[0].slice();
    },
    end() {
      if (levels[0].taken < grid.height)
        return Promise.reject(new Error(`${levels[0].taken} of ${grid.height} rows were given`));
      const keys = geoKeys(grid.crs);
      const [full, ...overviews] = levels.map((level, l) => ({
        tags: [
          ...cellTags(level, l > 0),
          ...(l > 0 ? [] : placeTags(grid, keys)),
          ...(l > 0 ? [] : textTags(about, keys)),
        ],
        blocks: level.blocks,
      }));
      return Promise.resolve(geotiffLayout([full, ...overviews]));
    },
  };
}

const short = (tag: number, ...values: number[]): Tag => ({ tag, type: 'short', values });
const long = (tag: number, ...values: number[]): Tag => ({ tag, type: 'long', values });
const double = (tag: number, ...values: number[]): Tag => ({ tag, type: 'double', values });
const ascii = (tag: number, values: string): Tag => ({ tag, type: 'ascii', values });

const cellTags = (level: TileLevel, overview: boolean): Tag[] => [
  long(254, overview ? 1 : 0),
  long(256, level.width),
  long(257, level.height),
  // Bits of a cell, deflate, "black is zero", one band, cells side by side.
  short(258, 32),
  short(259, 8),
  short(262, 1),
  short(277, 1),
  short(284, 1),
  // Floating-point predictor.
  short(317, 3),
  short(322, TILE),
  short(323, TILE),
  // Floating-point numbers.
  short(339, 3),
  ascii(42113, 'nan'),
];

function placeTags({ transform }: GeotiffGrid, keys: GeoKeys): Tag[] {
  const [a, b, c, d, e, f] = transform;
  const upright = c === 0 && e === 0 && b > 0 && f < 0;
  const place = upright
    ? [double(33550, b, -f, 0), double(33922, 0, 0, 0, a, d, 0)]
    : [double(34264, b, c, 0, a, e, f, 0, d, 0, 0, 0, 0, 0, 0, 0, 1)];
  return [...place, ...keys.tags];
}

function textTags({ title, notice, lines }: SurfaceAbout, keys: GeoKeys): Tag[] {
  const all = keys.note === null ? lines : { ...lines, coordinate_system: keys.note };
  const items = Object.entries(all).map(([name, value]) => item(`name="${xml(name)}"`, value));
  return [
    ascii(270, [title, notice].filter((t) => t !== '').join('\n')),
    ascii(
      42112,
      `<GDALMetadata>\n${[...items, item('name="DESCRIPTION" sample="0" role="description"', 'match')].join('\n')}\n</GDALMetadata>`,
    ),
  ];
}

/** GDAL writes the references of XML in a value twice over, and reads them so. */
const item = (attributes: string, value: string): string => `  <Item ${attributes}>${xml(xml(value))}</Item>`;
