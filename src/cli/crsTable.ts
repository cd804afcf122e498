/**
 * node src/cli/ts.mjs src/cli/crsTable.ts (ten minutes), then prettier: writes src/io/crs/crsTable.ts, the coordinate systems that are not built in, from the
 * database and the programs of PROJ (Debian: proj-bin, proj-data). Every projected system is tried at nine points of its area
 * against cs2cs, and left out where the projection library of this project is more than five centimetres off or knows no such
 * projection.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import proj4 from 'proj4';
import type SqlJs from 'sql.js';
import { spelledOut } from '../io/crs/crsEllipsoids.ts';
import { isNad83Name, plainName } from '../io/crs/crsNames.ts';

const DATABASE = process.argv[2] ?? '/usr/share/proj/proj.db';
const OUT = 'src/io/crs/crsTable.ts';
/** Farther apart than this (metres), the system is left out. */
const TOLERANCE = 0.05;
const DEGREES = new Set(['6422', '6424', '6423', '6426']);
const LON_FIRST = new Set(['6424', '6426']);

// Not bundled: the library looks for its own file beside itself.
const initSqlJs = createRequire(import.meta.url)('sql.js') as typeof SqlJs;
const SQL = await initSqlJs();
const db = new SQL.Database(readFileSync(DATABASE));
type Row = Record<string, string | number | null>;
function rows(sql: string): Row[] {
  const [table] = db.exec(sql);
  if (!table) return [];
  return table.values.map((values) =>
    Object.fromEntries(table.columns.map((c, i) => [c, values[i] as string | number | null])),
  );
}
const text = (value: string | number | null | undefined): string => (value === null ? '' : String(value));
const metadata = Object.fromEntries(
  rows('select key, value from metadata').map((r) => [text(r['key']), text(r['value'])]),
);

type Area = readonly [west: number, south: number, east: number, north: number];
const usage = (table: string): Map<string, Area[]> => {
  const map = new Map<string, Area[]>();
  for (const r of rows(
    `select object_auth_name a, object_code c, west_lon w, south_lat s, east_lon e, north_lat n from usage
     join extent x on x.auth_name = extent_auth_name and x.code = extent_code where object_table_name = '${table}' and w is not null`,
  )) {
    const key = `${r['a']}:${r['c']}`;
    const [w, s, e, n] = ['w', 's', 'e', 'n'].map((k) => Number(r[k]));
    map.set(key, [...(map.get(key) ?? []), [w, s, e < w ? e + 360 : e, n]]);
  }
  return map;
};
const areaOf = (areas: readonly Area[] | undefined): Area | null =>
  areas && areas.length > 0
    ? [
        Math.min(...areas.map((a) => a[0])),
        Math.min(...areas.map((a) => a[1])),
        Math.max(...areas.map((a) => a[2])),
        Math.max(...areas.map((a) => a[3])),
      ]
    : null;

/** As a PROJ string without a shift, the ellipsoid always by its own name. */
function definition(id: string): string {
  const made = spawnSync('projinfo', ['-q', '-o', 'PROJ', id], { encoding: 'utf8' });
  const line = made.stdout.trim().split('\n').at(-1) ?? '';
  return line
    .replace(/ \+towgs84=\S+/, '')
    .replace('+datum=WGS84', '+ellps=WGS84')
    .replace('+datum=NAD83', '+ellps=GRS80')
    .replace('+datum=NAD27', '+ellps=clrk66');
}

// Shifts between datums: three or seven parameters to WGS 84, not withdrawn; both sign conventions as +towgs84 has them.
interface Shift {
  readonly code: string;
  readonly numbers: readonly number[];
  readonly accuracy: number | null;
  readonly areas: readonly Area[];
}
const ROTATION: Readonly<Record<string, number>> = {
  9104: 1,
  9109: (180 * 3600) / Math.PI / 1e6,
  9101: (180 * 3600) / Math.PI,
};
const SCALE: Readonly<Record<string, number>> = { 9202: 1, 9201: 1e6 };
const shiftAreas = usage('helmert_transformation');
const shifts = new Map<string, Shift[]>();
for (const r of rows(
  `select * from helmert_transformation_table where deprecated = 0 and target_crs_auth_name = 'EPSG'
   and target_crs_code in (4326, 4258) and method_code in (9603, 9606, 9607) and translation_uom_code = 9001
   and (auth_name = 'EPSG' or (auth_name = 'ESRI' and source_crs_auth_name = 'ESRI'))`,
)) {
  const numbers = ['tx', 'ty', 'tz'].map((k) => Number(r[k]));
  if (r['method_code'] !== 9603) {
    const turn = ROTATION[text(r['rotation_uom_code'])];
    const grow = SCALE[text(r['scale_difference_uom_code'])];
    if (turn === undefined || grow === undefined) continue;
    const sign = r['method_code'] === 9607 ? -1 : 1;
    for (const k of ['rx', 'ry', 'rz']) numbers.push(Number((sign * turn * Number(r[k])).toPrecision(12)));
    numbers.push(Number(r['scale_difference']) * grow);
  }
  const source = `${r['source_crs_auth_name']}:${r['source_crs_code']}`;
  const id = `${r['auth_name']}:${r['code']}`;
  // 999 is how the register says that it does not know.
  const accuracy = r['accuracy'] === null || Number(r['accuracy']) >= 999 ? null : Number(r['accuracy']);
  const areas = shiftAreas.get(id) ?? [];
  shifts.set(source, [
    ...(shifts.get(source) ?? []),
    { code: id.replace('EPSG:', ''), numbers, accuracy, areas },
  ]);
}
const overlap = (a: Area, b: Area): number =>
  Math.max(0, Math.min(a[2], b[2]) - Math.max(a[0], b[0])) *
  Math.max(0, Math.min(a[3], b[3]) - Math.max(a[1], b[1]));
const twins = new Map(
  rows(
    `select a.auth_name || ':' || a.code x, b.auth_name || ':' || b.code y from geodetic_crs a join geodetic_crs b
     on a.name like b.name || ' (%)' and a.auth_name = 'EPSG' and b.auth_name = 'EPSG' and b.type = 'geographic 2D' and a.type = b.type
     join geodetic_datum d on d.auth_name = a.datum_auth_name and d.code = a.datum_code and d.prime_meridian_code <> 8901`,
  ).map((r) => [text(r['x']), text(r['y'])]),
);
/** The shift that covers most of the area (to a tenth), then the most accurate one. */
function shiftFor(base: string, area: Area | null): Shift | null {
  // A system that counts from another meridian ("NTF (Paris)") takes the shifts of its twin that counts from Greenwich.
  const known = shifts.get(base) ?? shifts.get(twins.get(base) ?? '') ?? [];
  const size = area ? overlap(area, area) || 1 : 1;
  const cover = (s: Shift): number =>
    area ? Math.round((10 * Math.max(0, ...s.areas.map((a) => overlap(a, area)))) / size) : 0;
  return (
    [...known].sort(
      (a, b) =>
        cover(b) - cover(a) || (a.accuracy ?? 1e9) - (b.accuracy ?? 1e9) || (a.code < b.code ? -1 : 1),
    )[0] ?? null
  );
}

// Geographic systems: the base of the projected ones, and systems themselves where they are in degrees.
const aliases = new Map<string, string[]>();
for (const r of rows(
  `select auth_name a, code c, alt_name n from alias_name where table_name = 'geodetic_datum'`,
))
  aliases.set(`${r['a']}:${r['c']}`, [...(aliases.get(`${r['a']}:${r['c']}`) ?? []), text(r['n'])]);
const geodeticAreas = usage('geodetic_crs');
interface Base {
  readonly id: string;
  readonly name: string;
  readonly datumNames: readonly string[];
  readonly datumCode: string;
  /** Ellipsoid and prime meridian as PROJ has them. */
  readonly figure: string;
  readonly degrees: boolean;
  readonly lonFirst: boolean;
  readonly area: Area | null;
  readonly shift: Shift | null;
}
const bases = new Map<string, Base>();
for (const r of rows(
  `select g.auth_name a, g.code c, g.name n, g.coordinate_system_code k, g.datum_auth_name da, g.datum_code d, t.name dn
   from geodetic_crs g join geodetic_datum t on t.auth_name = g.datum_auth_name and t.code = g.datum_code
   join ellipsoid e on e.auth_name = t.ellipsoid_auth_name and e.code = t.ellipsoid_code and e.celestial_body_code = 'EARTH'
   where g.auth_name in ('EPSG', 'ESRI') and g.type in ('geographic 2D', 'geographic 3D')`,
)) {
  const id = `${r['a']}:${r['c']}`;
  const made = definition(id);
  if (!made.startsWith('+proj=longlat')) continue;
  const area = areaOf(geodeticAreas.get(id));
  const datum = `${r['da']}:${r['d']}`;
  bases.set(id, {
    id,
    name: text(r['n']),
    datumNames: [...new Set([text(r['dn']), ...(aliases.get(datum) ?? [])].map(plainName))],
    datumCode: datum,
    figure: made
      .replace(/\+proj=longlat|\+no_defs|\+type=crs/g, '')
      .replace(/\s+/g, ' ')
      .trim(),
    degrees: DEGREES.has(text(r['k'])),
    lonFirst: LON_FIRST.has(text(r['k'])),
    area,
    shift: shiftFor(id, area),
  });
}

/** What cs2cs makes of degrees on the system's own datum; no shift of datum takes part. */
function byProj(id: string, base: Base, points: ReadonlyArray<readonly [number, number]>): number[][] {
  const input = points.map(([lon, lat]) => (base.lonFirst ? `${lon} ${lat}` : `${lat} ${lon}`)).join('\n');
  const run = spawnSync('cs2cs', ['-f', '%.5f', base.id, id], { input, encoding: 'utf8' });
  return run.stdout
    .trim()
    .split('\n')
    .map((line) => line.split(/\s+/).slice(0, 2).map(Number));
}

const projectedAreas = usage('projected_crs');
interface System {
  readonly id: string;
  readonly name: string;
  readonly projection: string;
  readonly base: Base;
  readonly area: Area | null;
  readonly shift: Shift | null;
}
const systems: System[] = [];
const left = { projection: 0, far: 0, elsewhere: 0 };
/** Of ESRI's list, systems of North America and of the whole world are kept. */
const isOurs = (a: Area): boolean => overlap(a, [-170, 7, -50, 84]) > 0 || a[2] - a[0] > 300;
for (const r of rows(
  `select auth_name a, code c, name n, geodetic_crs_auth_name ga, geodetic_crs_code g from projected_crs
   where auth_name in ('EPSG', 'ESRI') and geodetic_crs_code is not null order by auth_name, code`,
)) {
  const id = `${r['a']}:${r['c']}`;
  const base = bases.get(`${r['ga']}:${r['g']}`);
  const made = definition(id);
  if (!base || !made.startsWith('+proj=')) continue;
  const area = areaOf(projectedAreas.get(id));
  if (r['a'] === 'ESRI' && area && !isOurs(area)) {
    left.elsewhere++;
    continue;
  }
  const parts = made.split(' ').filter((p) => p !== '' && !/^\+(no_defs|type=crs|units=m|[xy]_0=0)$/.test(p));
  const figure = base.figure.split(' ');
  const own = parts.filter((p) => !figure.includes(p));
  const foreign = own.some((p) => /^\+(datum|ellps|a|b|rf|R|pm|nadgrids|towgs84)=/.test(p));
  if (foreign || !figure.every((p) => p === '' || parts.includes(p))) {
    left.projection++;
    continue;
  }
  const projection = own.map((p) => p.slice(1).replace(/^proj=/, '')).join(' ');
  const [w, s, e, n] = area ?? [-100, 30, -80, 45];
  const points = [0.1, 0.5, 0.9].flatMap((x) =>
    [0.1, 0.5, 0.9].map((y): [number, number] => {
      const lon = w + x * (e - w);
      return [lon > 180 ? lon - 360 : lon, s + y * (n - s)];
    }),
  );
  const want = byProj(id, base, points);
  const toMetre = Number(
    /\+to_meter=([\d.e-]+)/.exec(made)?.[1] ?? (/\+units=(us-)?ft/.test(made) ? 0.3048 : 1),
  );
  let far = 0;
  let compared = 0;
  try {
    const own = spelledOut(base.figure) ?? base.figure;
    const move = proj4(
      `+proj=longlat ${own} +no_defs`,
      `+proj=${projection.replaceAll(' ', ' +')} ${defaults(projection)} ${own} +no_defs`,
    );
    for (const [i, p] of points.entries()) {
      const [x, y] = move.forward([...p]);
      const [a, b] = want[i] ?? [NaN, NaN];
      if (!Number.isFinite(a) || !Number.isFinite(b)) continue;
      compared++;
      const back = move.inverse([x, y]);
      const off = Math.max(
        toMetre * Math.min(Math.hypot(x - a, y - b), Math.hypot(x - b, y - a)),
        111_320 * Math.hypot((back[0] - p[0]) * Math.cos((p[1] * Math.PI) / 180), back[1] - p[1]),
      );
      far = Math.max(far, Number.isNaN(off) ? Infinity : off);
    }
  } catch {
    far = Infinity;
  }
  if (far > TOLERANCE || compared < 3) {
    left.far++;
    continue;
  }
  systems.push({
    id,
    name: text(r['n']),
    projection,
    base,
    area,
    shift: shiftFor(base.id, area) ?? base.shift,
  });
}

/** Zeros that the library does not assume; src/io/crs/crs.ts adds them likewise. */
function defaults(projection: string): string {
  if (projection.startsWith('utm')) return '';
  return ['x_0', 'y_0', 'lat_0', 'lon_0']
    .filter((k) => !projection.includes(`${k}=`) && !(k === 'lon_0' && projection.includes('lonc')))
    .map((k) => `+${k}=0`)
    .join(' ');
}

// A system that is another's under a second number is kept as that number alone.
const byMeaning = new Map<string, System>();
const seconds: Array<readonly [code: number, stands: number]> = [];
const kept: System[] = [];
const current = new Set(
  rows(`select code c from projected_crs where auth_name = 'EPSG' and deprecated = 0`).map(
    (r) => `EPSG:${r['c']}`,
  ),
);
const rank = (s: System): number => Number(current.has(s.id)) + 2 * Number(s.base.id === 'EPSG:4269');
for (const s of [...systems].sort((a, b) => rank(b) - rank(a))) {
  // The realisations of NAD83 are taken as one.
  const datum = s.base.datumNames.some(isNad83Name) ? 'NAD83' : s.base.datumNames[0];
  const key = `${s.projection}|${s.base.figure}|${datum}`;
  const first = byMeaning.get(key);
  if (first) {
    seconds.push([Number(s.id.slice(5)), Number(first.id.slice(5))]);
    continue;
  }
  byMeaning.set(key, s);
  kept.push(s);
}
const held = new Set([...kept.map((s) => s.id), ...bases.keys()]);
const codes = new Map(seconds.map(([second, first]) => [second, first]));
for (const r of rows(
  `select code c, horiz_crs_code h from compound_crs where auth_name = 'EPSG' and horiz_crs_auth_name = 'EPSG'`,
)) {
  const horizontal = codes.get(Number(r['h'])) ?? Number(r['h']);
  if (held.has(`EPSG:${horizontal}`)) seconds.push([Number(r['c']), horizontal]);
}
seconds.sort((a, b) => a[0] - b[0]);

const compact = (id: string): string => id.replace('EPSG:', '').replace('ESRI:', '');
const tenths = (area: Area | null): string =>
  area
    ? [
        Math.floor(area[0] * 10) / 10,
        Math.floor(area[1] * 10) / 10,
        Math.ceil(area[2] * 10) / 10,
        Math.ceil(area[3] * 10) / 10,
      ].join(' ')
    : '';
const areas = new Map<string, number>();
const areaIndex = (area: Area | null): string => {
  const key = tenths(area);
  if (key === '') return '';
  if (!areas.has(key)) areas.set(key, areas.size);
  return text(areas.get(key));
};
const usedShifts = new Map<string, Shift>();
const shiftCode = (shift: Shift | null): string => {
  if (!shift) return '';
  usedShifts.set(shift.code, shift);
  return shift.code;
};
// NAD27 is shifted by where the data lie, so all of its shifts are kept, with their areas.
const nad27 = (shifts.get('EPSG:4267') ?? []).map(
  (s) => `${s.code}|${s.numbers.join(' ')}|${s.accuracy ?? ''}|${s.areas.map(tenths).join(',')}`,
);
const used = new Set(kept.map((s) => s.base.id));
const baseLines = [...bases.values()]
  .filter((b) => used.has(b.id) || b.id.startsWith('EPSG'))
  .map((b) =>
    [
      compact(b.id),
      b.name,
      b.degrees ? '' : '-',
      b.figure.replace(/\+/g, ''),
      compact(b.datumCode),
      b.datumNames.filter((n) => n !== plainName(b.name)).join(','),
      shiftCode(b.shift),
      areaIndex(b.area),
    ].join('|'),
  );
let before = 0;
const systemLines = kept
  .map((s) => ({ s, code: Number(compact(s.id)) }))
  .sort((a, b) => a.code - b.code)
  .map(({ s, code }) => {
    const step = code - before;
    before = code;
    // "~" stands for the name of the base and " / ".
    const start = `${s.base.name} / `;
    const short = s.name.startsWith(start) ? `~${s.name.slice(start.length)}` : s.name;
    const own = shiftCode(s.shift);
    return [
      step,
      short,
      s.projection,
      compact(s.base.id),
      own === (s.base.shift?.code ?? '') ? '' : own,
      areaIndex(s.area),
    ].join('|');
  });
const shiftLines = [...usedShifts.values()].map(
  (s) => `${s.code}|${s.numbers.join(' ')}|${s.accuracy ?? ''}`,
);

const sections = {
  areas: [...areas.keys()],
  shifts: shiftLines,
  nad27,
  bases: baseLines,
  systems: systemLines,
  /** Code, and the code of the system that it stands for: of a compound one its horizontal part. */
  seconds: seconds.map(([second, first]) => `${second}|${first}`),
};
const version = execFileSync('dpkg-query', ['-W', '-f', '${Version}', 'proj-data'], { encoding: 'utf8' });
const head = `/**
 * Coordinate systems that are not built in, as text; src/io/crs/crsLookup.ts reads it. Made by src/cli/crsTable.ts from the database of
 * PROJ ${metadata['PROJ.VERSION']} (Debian proj-data ${version}, MIT licence). It holds the EPSG Dataset ${metadata['EPSG.VERSION']} (${metadata['EPSG.DATE']}), owned by the
 * International Association of Oil and Gas Producers (IOGP), whose terms allow its use and distribution with this mention, and
 * systems of the ESRI list (${metadata['ESRI.VERSION']}, Apache 2.0; both sets of terms from memory). What stands here is based on them, not the dataset itself: a selection,
 * with names shortened and areas rounded outwards to a tenth of a degree.
 * ${systems.length} codes of projected systems, each within ${TOLERANCE} m of cs2cs at nine points of its area when this was made; ${bases.size} geographic.
 */
`;
const body = Object.entries(sections)
  .map(([name, lines]) => `  ${name}:\n    ${JSON.stringify(lines.join('\n'))},\n`)
  .join('');
writeFileSync(OUT, `${head}export const crsTable = {\n${body}};\n`);
console.log(
  `${systems.length} projected, ${bases.size} geographic, ${seconds.length} second codes, ${kept.length} kept; left out: ${JSON.stringify(left)}`,
);
