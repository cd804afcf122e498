/** Which variables of a NetCDF file are grids: numbers over two evenly spaced axes, and bands over the other dimensions. */
import type { NcAttributes, NcHeader, NcVariable } from './netcdfHeader.ts';

export interface Axis {
  /** Index of the dimension. */
  readonly dimension: number;
  readonly size: number;
  readonly variable: NcVariable;
}

export interface Grid {
  readonly variable: NcVariable;
  readonly x: Axis;
  readonly y: Axis;
  /** Axes in degrees of longitude and latitude; else those of a projection. */
  readonly geographic: boolean;
  /** The file holds columns one after another (x is the slower dimension). */
  readonly columns: boolean;
  /** Dimensions of the bands, the slowest first. */
  readonly others: readonly number[];
  readonly bands: number;
}

export const textOfAttribute = (attributes: NcAttributes, name: string): string => {
  const value = attributes.get(name);
  return typeof value === 'string' ? value.trim() : '';
};

type Role = 'x' | 'y' | 'lon' | 'lat' | 'turned' | null;

/** What a coordinate variable counts, by its standard name, its unit, its axis or its name (CF 1.11, section 4). */
function roleOf({ name, attributes }: NcVariable): Role {
  const standard = textOfAttribute(attributes, 'standard_name').toLowerCase();
  const units = textOfAttribute(attributes, 'units').toLowerCase();
  const axis = textOfAttribute(attributes, 'axis').toUpperCase();
  if (/^grid_(latitude|longitude)$/.test(standard)) return 'turned';
  if (standard === 'longitude' || /^degrees?_?(east|e)$/.test(units)) return 'lon';
  if (standard === 'latitude' || /^degrees?_?(north|n)$/.test(units)) return 'lat';
  if (standard === 'projection_x_coordinate') return 'x';
  if (standard === 'projection_y_coordinate') return 'y';
  if (/^lon(gitude)?$/i.test(name)) return 'lon';
  if (/^lat(itude)?$/i.test(name)) return 'lat';
  if (axis === 'X' || /^(x|easting)$/i.test(name)) return 'x';
  if (axis === 'Y' || /^(y|northing)$/i.test(name)) return 'y';
  return null;
}

/** All grids, and why other variables of numbers over two dimensions or more are none. */
export function gridsOf(header: NcHeader): {
  readonly grids: readonly Grid[];
  readonly why: readonly string[];
} {
  const { dimensions, variables } = header;
  const axes = dimensions.map(({ name }, i) =>
    variables.find(
      (v) => v.name === name && v.dimensions.length === 1 && v.dimensions[0] === i && v.type !== 'char',
    ),
  );
  const roles = axes.map((v) => (v ? roleOf(v) : null));
  const grids: Grid[] = [];
  const why: string[] = [];
  for (const variable of variables) {
    const { dimensions: over, type, name } = variable;
    if (over.length < 2 || type === 'char') continue;
    const own = over.map((d) => roles[d]);
    if (own.includes('turned')) {
      why.push(`${name} lies on a turned globe (rotated pole)`);
      continue;
    }
    const last = own.slice(-2);
    const ways: ReadonlyArray<readonly [Role, Role]> = [
      ['lat', 'lon'],
      ['y', 'x'],
      ['lon', 'lat'],
      ['x', 'y'],
    ];
    const way = ways.findIndex(([a, b]) => a === last[0] && b === last[1]);
    if (way < 0) {
      const spread = own.filter((r) => r !== null).length >= 2;
      if (spread)
        why.push(
          `${name} has its rows and columns apart (${over.map((d) => dimensions[d].name).join(', ')})`,
        );
      else if (/\blat/i.test(textOfAttribute(variable.attributes, 'coordinates')))
        why.push(`the cells of ${name} have a latitude and longitude each, not rows and columns`);
      continue;
    }
    if (type === 'int64' || type === 'uint64') {
      why.push(`${name} holds whole numbers of 64 bits`);
      continue;
    }
    const axis = (d: number): Axis | null => {
      const v = axes[d];
      return v ? { dimension: d, size: dimensions[d].size, variable: v } : null;
    };
    const columns = way >= 2;
    const x = axis(over[over.length - (columns ? 2 : 1)]);
    const y = axis(over[over.length - (columns ? 1 : 2)]);
    if (!x || !y) continue;
    if (variable.record && over.length === 2) {
      why.push(`the rows of ${name} lie apart (they may grow)`);
      continue;
    }
    const others = over.slice(0, -2);
    grids.push({
      variable,
      x,
      y,
      geographic: way % 2 === 0,
      columns,
      others,
      bands: others.reduce((n, d) => n * dimensions[d].size, 1),
    });
  }
  return { grids, why };
}
