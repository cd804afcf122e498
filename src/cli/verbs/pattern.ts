import { fail, ok } from '../../domain/base/result.ts';
import { pattern as patternOf } from '../../domain/candidates/pattern/pattern.ts';
import { drawnOnce } from '../../domain/candidates/pattern/randomPlaces.ts';
import { LEAST_TREES } from '../../domain/candidates/pattern/types.ts';
import { within } from '../../domain/candidates/pattern/within.ts';
import { one, optional, readOptions } from '../arguments.ts';
import { geographic, isDegrees, plane } from '../planePoints.ts';
import type { Verb } from '../verb.ts';

const WINDOWS = {
  given: 'the given area',
  hull: 'drawn about the points: their convex hull, spread outward',
  line: 'drawn about the points: a band along the line in which they stand',
} as const;
const ROWS = { 2: 'rows', 4: 'a square grid', 6: 'a triangular grid' } as const;

export const pattern: Verb = {
  name: 'pattern',
  usage: 'pattern --points F [--area F] [--x FIELD --y FIELD]',
  help: [
    'How trees of one species stand: nearest-neighbour index (Clark & Evans 1954; Donnelly 1978) and a test for rows and grids,',
    'both against 999 seeded simulations of complete randomness in the same window.',
    '--points     the trees',
    '--area       polygons of the ground on which they could have stood; without, a window is drawn about the points',
    '--x, --y     columns of plane coordinates in one unit of length; --area then has such coordinates too (GeoJSON,',
    '             well-known text, or a CSV of its corners). Columns named as longitude and latitude are degrees.',
    'JSON: {n, density, meanNearest, R, RDonnelly, z, p, rows:{order, strength, p}, verdict, zDonnelly, pDonnelly, simulatedP,',
    'simulations, window:{from, area, perimeter}, notes}; z and p belong to R, metres unless --x and --y say otherwise. order:',
    `2 rows, 4 square grid, 6 triangular grid. verdict: regular, random, clustered, or too few (under ${LEAST_TREES} places).`,
    'Regular spacing speaks for planting and proves nothing; ask who knows the ground.',
  ].join('\n'),
  async run(args) {
    const options = readOptions('pattern', args, ['points', 'area', 'x', 'y']);
    if (!options.ok) return options;
    const path = one(options.value, 'pattern', 'points');
    if (!path.ok) return path;
    const area = optional(options.value, 'area');
    const [x, y] = [optional(options.value, 'x'), optional(options.value, 'y')];
    if ((x === null) !== (y === null))
      return fail(
        'usage',
        'pattern',
        `--${x === null ? 'x' : 'y'} is missing`,
        'Name both columns, or neither.',
      );
    const axes = x !== null && y !== null ? { x, y } : null;
    const read =
      axes && !isDegrees(axes) ? await plane(path.value, axes, area) : await geographic(path.value, area);
    if (!read.ok) return read;
    const { window, unit } = read.value;
    const notes: string[] = [];
    if (window && !(window.area > 0))
      return fail('content', area ?? '', 'has an outline without area', 'Give the outline of the ground.');
    if (window && !drawnOnce(window))
      return fail(
        'content',
        area ?? '',
        'has outlines that overlap or cross themselves',
        'Mend them, or give one outline.',
      );
    const kept = Array.from(read.value.x.keys()).filter(
      (i) => !window || within(window, read.value.x[i], read.value.y[i]),
    );
    const left = read.value.x.length - kept.length;
    if (left > 0)
      notes.push(`${left} of ${read.value.x.length} points lie outside the area and are left out`);
    const px = Float64Array.from(kept, (i) => read.value.x[i]);
    const py = Float64Array.from(kept, (i) => read.value.y[i]);
    if (kept.length < 2)
      return fail(
        'content',
        path.value,
        `has ${kept.length === 1 ? '1 point' : 'no points'}${left > 0 ? ' inside the area' : ''}`,
        'A distance needs two; a verdict at least 7.',
      );
    const places = new Set(kept.map((i) => `${read.value.x[i]} ${read.value.y[i]}`)).size;
    if (places < 2 && !window)
      return fail(
        'content',
        path.value,
        `has all ${kept.length} points at one place`,
        'Give each tree its own place.',
      );
    if (places < kept.length)
      notes.push(
        kept.length - places === 1
          ? '1 point repeats the place of another: are they the same tree?'
          : `${kept.length - places} points repeat the place of another: are they the same trees?`,
      );
    if (places < LEAST_TREES)
      notes.push(`fewer than ${LEAST_TREES} places: nothing is said on their pattern`);
    const found = patternOf(px, py, window);
    if (!window) notes.push(`the window was ${WINDOWS[found.windowFrom]}`);
    const { n, density, meanNearest, plain, donnelly, rows, verdict, simulatedP, simulations } = found;
    const json = {
      n,
      density,
      meanNearest,
      R: plain.R,
      RDonnelly: donnelly.R,
      z: plain.z,
      p: plain.p,
      rows: rows && { order: rows.order, strength: rows.strength, p: rows.p },
      verdict,
      zDonnelly: donnelly.z,
      pDonnelly: donnelly.p,
      simulatedP,
      simulations,
      window: { from: found.windowFrom, area: found.window.area, perimeter: found.window.perimeter },
      notes,
    };
    const show = (v: number): string =>
      Number.isFinite(v) ? Number(v.toPrecision(4)).toString() : 'not known';
    const of = unit === 'm' ? ' m' : '';
    return ok({
      json,
      lines: [
        `${n} points; window: ${WINDOWS[found.windowFrom]} (area ${show(found.window.area)}${of && ' m²'}, perimeter ${show(found.window.perimeter)}${of})`,
        `mean nearest distance ${show(meanNearest)}${of}`,
        `R ${show(plain.R)} (z ${show(plain.z)}, p ${show(plain.p)}); with Donnelly's correction ${show(donnelly.R)} (z ${show(donnelly.z)}, p ${show(donnelly.p)})`,
        ...(rows
          ? [
              `p by ${simulations} simulations ${show(simulatedP)}`,
              `rows: ${ROWS[rows.order]} (order ${rows.order}) stands out most, strength ${show(rows.strength)}, p ${show(rows.p)}${found.windowFrom === 'line' ? ' (of how even the gaps along the line are)' : ''}`,
            ]
          : []),
        `verdict: ${verdict}`,
        ...notes,
      ],
    });
  },
};
