import { geodesicMetres } from '../../domain/base/geodesy.ts';
import { rowsOf } from '../../domain/base/table.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import { order as orderStops } from '../../domain/scouting/order.ts';
import { one, optional, readOptions } from '../arguments.ts';
import type { Verb } from '../verb.ts';
import { openPath, openPoints } from '../open.ts';
import { pathSource } from '../pathSource.ts';

interface Costs {
  readonly id: readonly string[];
  readonly cost: Float64Array;
}

export const order: Verb = {
  name: 'order',
  usage: 'order --points F | --costs F [--start ID] [--end ID] [--open]',
  help: [
    'Shortest order of visits, with a bound that no order can beat.',
    '--points F   costs are geodesic metres between the points',
    '--costs F    a square table of costs, row to column, may be asymmetric: CSV (with or without a header row and a first',
    '             column of ids) or JSON ([[...]] or {"id":[...],"costs":[[...]]})',
    '--start, --end  fix the first and the last stop; --end makes it a way that ends there',
    '--open       the way need not return; otherwise a closed tour',
    'JSON: {order:[id], total, bound}; the total is proven where bound equals it.',
  ].join('\n'),
  async run(args) {
    const options = readOptions('order', args, ['points', 'costs', 'start', 'end'], ['open']);
    if (!options.ok) return options;
    const costsPath = optional(options.value, 'costs');
    if ((costsPath === null) === (optional(options.value, 'points') === null)) {
      return fail('usage', 'order', 'needs either --points or --costs', 'See kinstand order --help.');
    }
    const costs =
      costsPath !== null
        ? await readCosts(costsPath)
        : await geodesicCosts(one(options.value, 'order', 'points'));
    if (!costs.ok) return costs;
    const { id, cost } = costs.value;
    const start = rowOf(id, optional(options.value, 'start'), 'start');
    if (!start.ok) return start;
    const end = rowOf(id, optional(options.value, 'end'), 'end');
    if (!end.ok) return end;
    if (start.value !== null && start.value === end.value && id.length > 1) {
      return fail(
        'usage',
        'order',
        '--start and --end are the same stop',
        'Leave out --end for a closed tour.',
      );
    }
    const closed = !options.value.flags.has('open') && end.value === null;
    const found = orderStops({ cost, n: id.length, start: start.value, end: end.value, closed });
    const json = { order: found.order.map((r) => id[r]), total: found.total, bound: found.bound };
    return ok({ json, lines: [`total ${found.total}, bound ${found.bound}`, ...json.order] });
  },
};

function rowOf(ids: readonly string[], id: string | null, option: string): Result<number | null> {
  if (id === null) return ok(null);
  const row = ids.indexOf(id);
  return row < 0
    ? fail(
        'usage',
        'order',
        `--${option} is "${id}", which is not among the stops`,
        'Give an id of the file.',
      )
    : ok(row);
}

async function geodesicCosts(path: Result<string>): Promise<Result<Costs>> {
  if (!path.ok) return path;
  const points = await openPoints(path.value);
  if (!points.ok) return points;
  const { id, lon, lat } = points.value;
  const n = id.length;
  const cost = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++)
      cost[i * n + j] = cost[j * n + i] = geodesicMetres(lon[i], lat[i], lon[j], lat[j]);
  }
  return ok({ id, cost });
}

async function readCosts(path: string): Promise<Result<Costs>> {
  const source = pathSource(path);
  if (!source.ok) return source;
  const bytes = await source.value.readAll();
  if (!bytes.ok) return bytes;
  const text = new TextDecoder().decode(bytes.value).trimStart();
  if (text.startsWith('[') || text.startsWith('{')) return costsFromJson(text, path);
  const opened = await openPath(path);
  if (!opened.ok) return opened;
  if (opened.value.content.kind !== 'table')
    return fail('content', path, 'is not a table of costs', 'Give a square CSV or JSON table.');
  const [ragged] = opened.value.notes;
  if (ragged) return fail('content', ragged.where, ragged.what, 'The table must be square.');
  const { table } = opened.value.content;
  return costsFromRows([table.columns, ...rowsOf(table)], path);
}

function costsFromJson(text: string, path: string): Result<Costs> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    return fail(
      'format',
      path,
      `is not valid JSON (${error instanceof Error ? error.message : String(error)})`,
      'Correct it.',
    );
  }
  const record = Array.isArray(value)
    ? { costs: value as unknown }
    : (value as { costs?: unknown; id?: unknown; ids?: unknown });
  if (!Array.isArray(record.costs) || !record.costs.every((r) => Array.isArray(r)))
    return fail('content', path, 'holds no table of costs', 'Give [[...]] or {"id":[...],"costs":[[...]]}.');
  const named = ('id' in record ? record.id : undefined) ?? ('ids' in record ? record.ids : undefined);
  const rows = record.costs as unknown[][];
  const id = Array.isArray(named) ? named.map(String) : rows.map((_, i) => String(i + 1));
  return square(
    id,
    rows.map((r) => r.map((v) => (v === null ? NaN : Number(v)))),
    path,
  );
}

/** A header row is there when its cells are not all numbers, a first column of ids when each row has one cell more than the square. */
function costsFromRows(rows: ReadonlyArray<readonly string[]>, path: string): Result<Costs> {
  const numeric = (s: string | undefined): boolean =>
    s !== undefined && s.trim() !== '' && Number.isFinite(Number(s));
  const header = !rows[0].every((c) => numeric(c));
  const body = header ? rows.slice(1) : rows;
  const withId = body.length > 0 && body[0].length === body.length + 1;
  const id = withId
    ? body.map((r) => r[0])
    : header && rows[0].length === body.length
      ? rows[0].map(String)
      : body.map((_, i) => String(i + 1));
  return square(
    id,
    body.map((r) => (withId ? r.slice(1) : r).map((c) => (numeric(c) ? Number(c) : NaN))),
    path,
  );
}

function square(id: string[], rows: number[][], path: string): Result<Costs> {
  const n = rows.length;
  if (n === 0) return fail('content', path, 'is empty', 'Give a square table of costs.');
  const cost = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    if (rows[i].length !== n)
      return fail(
        'content',
        `${path}, row ${i + 1}`,
        `has ${rows[i].length} costs where ${n} are expected`,
        'The table must be square.',
      );
    for (let j = 0; j < n; j++) {
      const c = i === j ? 0 : rows[i][j];
      if (!Number.isFinite(c) || c < 0)
        return fail(
          'content',
          `${path}, row ${i + 1}, column ${j + 1}`,
          'is not a cost of zero or more',
          'Correct it.',
        );
      cost[i * n + j] = c;
    }
  }
  return ok({ id, cost });
}
