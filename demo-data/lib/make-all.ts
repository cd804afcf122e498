/** Everything in demo-data/ except this code: file name -> bytes, the same on every run. */
import { PERIODS, VARIABLES } from './climate.ts';
import { writeCog, type CogInput } from './cog.ts';
import { COVER_COLOURS } from './cover.ts';
import { toCsv } from './csv.ts';
import { makeDevelopment, NEVER } from './development.ts';
import { linesFile, pointsFile, polygonsFile } from './fgb.ts';
import { FRAME, type Local } from './frame.ts';
import { makeGround } from './ground.ts';
import type { InventoryTree } from './inventory.ts';
import { COLUMNS, row, type Tree } from './notebook.ts';
import { NOTICE, RASTERS, makePlan } from './plan.ts';
import { makePlanned } from './planned.ts';
import { hash2 } from './rng.ts';
import { makeScatter } from './scatter.ts';
import { makeSurvey } from './survey.ts';
import type { Trap } from './traps.ts';
import { KINDS } from './truth.ts';
import { HOLE_HALF } from './tuning.ts';

const NODATA = { int16: -32768, float: -9999 } as const;

/** Storage of each variable: value = stored * scale. */
const STORED: Record<
  (typeof VARIABLES)[number],
  { type: 'int16' | 'float'; scale: number; unit: string; title: string }
> = {
  'mean-annual-temperature': { type: 'int16', scale: 0.01, unit: 'degC', title: 'Mean annual temperature' },
  'coldest-month-temperature': {
    type: 'int16',
    scale: 0.01,
    unit: 'degC',
    title: 'Mean temperature of the coldest month',
  },
  'annual-precipitation': { type: 'float', scale: 1, unit: 'mm', title: 'Annual precipitation' },
  'frost-free-period': { type: 'int16', scale: 0.1, unit: 'days', title: 'Frost-free period' },
};

/** Cells of a square hole get the nodata value. */
function punch(
  data: Int16Array | Float32Array,
  n: number,
  cell: number,
  [u, v]: Local,
  half: number,
  nodata: number,
): void {
  for (let y = 0, i = 0; y < n; y++)
    for (let x = 0; x < n; x++, i++)
      if (Math.abs((x + 0.5) * cell - u) <= half && Math.abs(FRAME.size - (y + 0.5) * cell - v) <= half)
        data[i] = nodata;
}

export function makeAll(): Map<string, Uint8Array> {
  const g = makeGround();
  const planned = makePlanned(g);
  const first = [...planned.trees, ...makeScatter(g, planned.trees, planned.kept)];
  const survey = makeSurvey(g, planned, first);
  const trees = [...number(first, 0), ...number(survey.trees, first.length)];
  const files = new Map<string, Uint8Array>();
  const text = (s: string): Uint8Array => new TextEncoder().encode(s);
  const json = (x: unknown): Uint8Array => text(JSON.stringify(x, null, 2) + '\n');
  const corner = { left: FRAME.x0, top: FRAME.y0 + FRAME.size };
  const cog = (name: string, input: Omit<CogInput, 'left' | 'top'>): void =>
    void files.set(name, writeCog({ ...corner, ...input }));

  const elevation = Int16Array.from(g.terrain.elevation, (z) => Math.round(z));
  punch(elevation, FRAME.n, FRAME.cell, planned.holes.elevation, HOLE_HALF.elevation, NODATA.int16);
  cog(RASTERS.elevation, {
    width: FRAME.n,
    height: FRAME.n,
    cell: FRAME.cell,
    data: elevation,
    nodata: NODATA.int16,
    description: 'Elevation',
    unit: 'm',
    overviews: 'average',
  });
  cog(RASTERS.cover, {
    width: FRAME.n,
    height: FRAME.n,
    cell: FRAME.cell,
    data: g.cover,
    nodata: 0,
    description: 'Land cover',
    unit: '',
    palette: COVER_COLOURS,
    overviews: 'majority',
  });
  cog(RASTERS.development, {
    width: FRAME.n,
    height: FRAME.n,
    cell: FRAME.cell,
    data: makeDevelopment(g.towns, g.settings, g.farmsteads),
    nodata: NEVER,
    description: 'Year first developed',
    unit: 'year',
    overviews: 'majority',
  });
  for (const period of PERIODS)
    for (const v of VARIABLES) {
      const { type, scale, unit, title } = STORED[v];
      const source = g.climate[period][v];
      const data =
        type === 'int16'
          ? Int16Array.from(source, (x) => Math.round(x / scale))
          : Float32Array.from(source, (x) => Math.round(x * 10) / 10);
      const nodata = NODATA[type];
      if (v === 'annual-precipitation')
        punch(
          data,
          FRAME.climateN,
          FRAME.climateCell,
          planned.holes.precipitation,
          HOLE_HALF.precipitation,
          nodata,
        );
      cog(RASTERS.climate(v, period), {
        width: FRAME.climateN,
        height: FRAME.climateN,
        cell: FRAME.climateCell,
        data,
        nodata,
        description: `${title}, ${period}`,
        unit,
        ...(type === 'int16' ? { scale } : {}),
        overviews: 'average',
      });
    }

  files.set(
    'zones.fgb',
    polygonsFile(g.zones.map(({ ring, key, name }) => ({ ring, attributes: { zone: key, name } }))),
  );
  files.set(
    'native-range.fgb',
    polygonsFile(g.ranges.map(({ ring, species }) => ({ ring, attributes: { species, note: 'invented' } }))),
  );
  files.set(
    'buildings.fgb',
    polygonsFile(
      g.buildings.map(({ ring, kind, built, centre: [u, v] }) => ({
        ring,
        // Of every eighth nobody knows the year.
        attributes: {
          building: kind,
          built: hash2(Math.round(u), Math.round(v), 302) < 0.125 ? '' : String(built),
        },
      })),
    ),
  );
  files.set(
    'settings.fgb',
    polygonsFile(
      g.settings.map(({ ring, setting, name, since }) => ({ ring, attributes: { setting, name, since } })),
    ),
  );
  files.set(
    'roads.fgb',
    linesFile(
      g.roads.map(({ line, highway, name, maxspeed, oneway, surface, access }) => ({
        line,
        attributes: { highway, name, maxspeed, oneway, surface, access },
      })),
    ),
  );
  files.set(
    'street-trees.fgb',
    pointsFile(
      [...g.inventory, ...listedAfter(g.inventory.length, survey.entries)].map((t) => ({
        place: t.place,
        attributes: { id: t.id, species: t.species, dbh_cm: t.dbh, planted: t.planted, place: t.where },
      })),
    ),
  );
  const rows = trees.map(row);
  // One line of the file stands twice.
  const repeated = planned.traps.find((t) => t.trap === 'duplicate (same id)')!.trees[0];
  files.set('candidates.csv', text(toCsv(COLUMNS, [...rows, row(repeated)])));
  files.set('truth.json', text(truthFile(trees)));
  files.set('traps.json', json({ notice: NOTICE, traps: planned.traps.map(listed) }));
  files.set('plan.json', json(makePlan(g, planned)));
  return files;
}

/** One line a tree: its kind; and what each kind is. */
const truthFile = (trees: readonly Tree[]): string =>
  [
    '{',
    `"notice": ${JSON.stringify(`${NOTICE} Nor does the app read this file: it is what its verdicts are held against.`)},`,
    `"kinds": ${JSON.stringify(KINDS, null, 1)},`,
    `"trees": {\n${trees.map((t) => `"${t.id}": "${t.kind}"`).join(',\n')}\n}`,
    '}\n',
  ].join('\n');

/** Entries of a later list go on with the numbers. */
const listedAfter = (before: number, entries: ReadonlyArray<Omit<InventoryTree, 'id'>>): InventoryTree[] =>
  entries.map((e, i) => ({ id: `INV-${String(before + i + 1).padStart(4, '0')}`, ...e }));

const listed = ({ trap, planting, trees, expected, why }: Trap): object => ({
  ids: trees.map((t) => t.id),
  trap,
  planting,
  expected,
  why,
});

/** Ids in a mixed order, so that a trap is not known by its number; those of an earlier round come `before`. */
function number(trees: Tree[], before: number): Tree[] {
  const order = trees
    .map((tree, i) => ({ tree, key: hash2(i, trees.length, 301) }))
    .sort((a, b) => a.key - b.key);
  order.forEach(({ tree }, i) => (tree.id = `FG-${String(before + i + 1).padStart(4, '0')}`));
  return order.map((o) => o.tree);
}
