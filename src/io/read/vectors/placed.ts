/** Where positions of a file lie on the earth, what is wrong with them, and what of that is mended. */
import type { Box } from '../../../domain/base/geo.ts';
import { missingCrs, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { lostSign, misplaced, type Misplaced } from '../../../domain/layers/misplaced.ts';
import type { Crs } from '../../crs/crs.ts';
import type { Mend, Offer, ReadOptions } from '../types.ts';

export interface Placed {
  /** Degrees; NaN where a position is left out. */
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  readonly notes: readonly Note[];
  readonly offers: readonly Offer[];
}

/** Longitudes may run to 360; a hair more than a right angle is rounding. */
const WEST = -181;
const EAST = 361;
const POLE = 90.01;

/**
 * Degrees of positions given as columns (NaN: none), after mending what the options ask for. Readers of tables with
 * coordinates may use it as `featuresFrom` does.
 * @param crs null: the file does not say, or says WGS 84 degrees.
 */
export function placed(
  x: Float64Array,
  y: Float64Array,
  crs: Crs | null,
  file: string,
  options: Pick<ReadOptions, 'mend' | 'crs'> = {},
): Result<Placed> {
  const { mend = [], crs: chosen } = options;
  const notes: Note[] = [];
  const note = (what: string): void => void notes.push({ where: file, what });
  const asked = (mistake: Mend): boolean => mend.includes(mistake);
  if (crs?.note) note(crs.note);
  const system = asked('degrees') && crs && !crs.geographic ? null : crs;
  if (system !== crs) note('coordinates were taken as degrees, as asked');
  if (asked('zeros')) {
    const kept = [x.slice(), y.slice()];
    const count = dropZeros(kept[0], kept[1]);
    [x, y] = kept;
    if (count > 0) note(`${positions(count)} at 0, 0 ${count === 1 ? 'was' : 'were'} left out, as asked`);
  }
  if (asked('axes')) {
    [x, y] = [y, x];
    note('coordinates were exchanged (longitude with latitude, or easting with northing), as asked');
  }
  const geographic = system?.geographic ?? true;
  const place = (px: Float64Array, py: Float64Array): { lon: Float64Array; lat: Float64Array } =>
    system ? system.inverse(px, py) : { lon: px.slice(), lat: py.slice() };
  const { lon, lat } = place(x, y);
  const found = misplaced({ x, y, lon, lat, geographic, place });
  if (asked('sign')) {
    let count = 0;
    for (let i = 0; i < lon.length; i++)
      if (lostSign(lon[i], lat[i])) {
        lon[i] = -lon[i];
        count++;
      }
    if (count > 0) note(`${positions(count)} got back the minus sign of the longitude, as asked`);
  }
  const offers = found
    .filter((m) => !asked(m.mistake))
    .map((m) => ({ mend: m.mistake, what: words(m, x.length, crs), extent: m.extent }));
  const [count, off] = dropOffEarth(x, y, lon, lat);
  // Most of them off the earth: the system is not what the file says, if no simple mistake explains it.
  if (off > count / 2 && offers.length === 0)
    return notDegrees(file, boxOf(x, y), system, geographic, chosen !== undefined);
  return ok({ lon, lat, notes, offers });
}

const positions = (n: number): string => `${n.toLocaleString('en-US')} ${n === 1 ? 'position' : 'positions'}`;

function words({ mistake, count }: Misplaced, all: number, crs: Crs | null): string {
  const of =
    count === all ? `all ${positions(all)}` : `${count.toLocaleString('en-US')} of ${positions(all)}`;
  switch (mistake) {
    case 'zeros':
      return `${of} lie at 0, 0, which seems to stand for "none"`;
    case 'axes':
      return `${of} lie far from here, but would lie here with their two coordinates exchanged`;
    case 'sign':
      return `${of} lie east of Greenwich, but would lie here with a minus sign before the longitude`;
    case 'degrees':
      return `${of} look like degrees, though the file says that they are ${crs?.unit ?? 'metres'} (${crs?.name ?? ''})`;
  }
}

function dropZeros(x: Float64Array, y: Float64Array): number {
  let count = 0;
  for (let i = 0; i < x.length; i++)
    if (x[i] === 0 && y[i] === 0) {
      x[i] = NaN;
      y[i] = NaN;
      count++;
    }
  return count;
}

/** Positions that there are (in the file), and those of them that the earth has no place for: these become NaN. */
function dropOffEarth(
  x: Float64Array,
  y: Float64Array,
  lon: Float64Array,
  lat: Float64Array,
): [count: number, off: number] {
  let count = 0;
  let off = 0;
  for (let i = 0; i < lon.length; i++) {
    if (Number.isNaN(x[i]) || Number.isNaN(y[i])) continue;
    count++;
    const p = lon[i];
    const q = lat[i];
    if (p >= WEST && p <= EAST && q >= -POLE && q <= POLE) continue;
    off++;
    lon[i] = NaN;
    lat[i] = NaN;
  }
  return [count, off];
}

function boxOf(x: Float64Array, y: Float64Array): Box {
  let [w, s, e, n] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < x.length; i++) {
    if (!Number.isFinite(x[i]) || !Number.isFinite(y[i])) continue;
    if (x[i] < w) w = x[i];
    if (x[i] > e) e = x[i];
    if (y[i] < s) s = y[i];
    if (y[i] > n) n = y[i];
  }
  return [w, s, e, n];
}

function notDegrees(file: string, box: Box, crs: Crs | null, geographic: boolean, chosen: boolean) {
  const missing = missingCrs(file, box);
  if (!crs) return missing;
  const range = box.map((v) => Number(v.toPrecision(7)));
  const what = geographic
    ? `holds positions from ${range[0]}, ${range[1]} to ${range[2]}, ${range[3]}, which are not degrees, as ${crs.name} would have them`
    : `has no place on the earth in its coordinate system (${crs.name})`;
  const failure = { ...missing.failure, what };
  return {
    ok: false as const,
    failure: chosen ? { ...failure, what: what.replace('its coordinate', 'the chosen coordinate') } : failure,
  };
}
