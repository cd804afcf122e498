/** Mistakes of position: seen over the whole table, mended where the user accepted it or one row differs from all the others. */
import type { Box } from '../../base/geo.ts';
import type { Mend, Offer } from '../../base/mend.ts';

/** Where oaks of the region stand (degrees): only to tell a lost sign or swapped columns from a distant place. */
const LATS: readonly [number, number] = [15, 60];
const LONS: readonly [number, number] = [50, 130];
const within = (v: number, [a, b]: readonly [number, number]): boolean => v >= a && v <= b;

const isSwapped = (lon: number, lat: number): boolean =>
  within(lon, LATS) && (within(-lat, LONS) || (lat > 90 && within(lat, LONS)));
const isEast = (lon: number, lat: number): boolean => within(lat, LATS) && within(lon, LONS);
const isWest = (lon: number, lat: number): boolean => within(lat, LATS) && within(-lon, LONS);

/** One or a few rows against a clear majority: they are mended unasked, with a note. */
const few = (odd: number, rest: number): boolean => odd <= Math.max(1, rest / 10) && rest >= 2 * odd;

export interface Mended {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** 0: to be left out (a position at 0, 0 that stands for "none"). */
  readonly keep: Uint8Array;
  readonly offers: readonly Offer[];
  /** Rows that were mended although nobody asked, since the others of the table say how. */
  readonly unasked: ReadonlyArray<{ readonly mend: 'axes' | 'sign'; readonly row: number }>;
}

/**
 * Mends what `accepted` lists and offers the rest. Arrays are in degrees and of one length; NaN rows are passed over. Nothing
 * given is changed.
 */
export function mendPlaces(
  givenLon: Float64Array,
  givenLat: Float64Array,
  accepted: readonly Mend[],
): Mended {
  const n = givenLon.length;
  const lon = givenLon.slice();
  const lat = givenLat.slice();
  const keep = new Uint8Array(n).fill(1);
  const offers: Offer[] = [];
  const unasked: Array<{ mend: 'axes' | 'sign'; row: number }> = [];
  const positions = count(n, (i) => !Number.isNaN(lon[i]) && !Number.isNaN(lat[i]));

  const isZero = (i: number): boolean => lon[i] === 0 && lat[i] === 0;
  const zeros = count(n, isZero);
  if (zeros > 0 && accepted.includes('zeros')) {
    for (let i = 0; i < n; i++) if (isZero(i)) keep[i] = 0;
  } else if (zeros > 0) {
    offers.push({
      mend: 'zeros',
      what: `${zeros} of ${positions} positions lie at 0, 0, which mostly stands for "no position"; they can be left out`,
      extent: extentOf(lon, lat, (i) => !isZero(i)),
    });
  }

  const swapped = count(n, (i) => isSwapped(lon[i], lat[i]));
  const right = count(n, (i) => isWest(lon[i], lat[i]) || isEast(lon[i], lat[i]));
  const swap = (i: number): void => {
    [lon[i], lat[i]] = [lat[i], lon[i]];
  };
  if (swapped > 0 && (accepted.includes('axes') || few(swapped, right))) {
    for (let i = 0; i < n; i++) {
      if (!isSwapped(lon[i], lat[i])) continue;
      swap(i);
      if (!accepted.includes('axes')) unasked.push({ mend: 'axes', row: i });
    }
  } else if (swapped > 0) {
    offers.push({
      mend: 'axes',
      what: `in ${swapped} of ${positions} positions longitude and latitude seem to stand in each other's place; they can be exchanged`,
      extent: extentOf(
        lon,
        lat,
        () => true,
        (i) => (isSwapped(lon[i], lat[i]) ? [lat[i], lon[i]] : [lon[i], lat[i]]),
      ),
    });
  }

  const east = count(n, (i) => isEast(lon[i], lat[i]));
  const west = count(n, (i) => isWest(lon[i], lat[i]));
  if (east > 0 && (accepted.includes('sign') || few(east, west))) {
    for (let i = 0; i < n; i++) {
      if (!isEast(lon[i], lat[i])) continue;
      lon[i] = -lon[i];
      if (!accepted.includes('sign')) unasked.push({ mend: 'sign', row: i });
    }
  } else if (east > 0) {
    offers.push({
      mend: 'sign',
      what: `${east} of ${positions} longitudes are positive, which is east of Greenwich; in North America they need a minus sign, which can be given to them`,
      extent: extentOf(
        lon,
        lat,
        () => true,
        (i) => [isEast(lon[i], lat[i]) ? -lon[i] : lon[i], lat[i]],
      ),
    });
  }
  return { lon, lat, keep, offers, unasked };
}

/**
 * Rows far from all the others: more than 300 km, and ten times as far as three quarters of the rows, from the middle row. None
 * where there are fewer than five rows, or where one in twenty lies so far away, which is then no mistake. Rough distances
 * (111 km a degree) do for this.
 */
export function farRows(lon: Float64Array, lat: Float64Array): { row: number; km: number }[] {
  const n = lon.length;
  if (n < 5) return [];
  const middle = (a: Float64Array): number => a.slice().sort()[n >> 1];
  const [x, y] = [middle(lon), middle(lat)];
  const shrink = Math.cos((y * Math.PI) / 180);
  const km = Float64Array.from(lon, (l, i) => 111.2 * Math.hypot((l - x) * shrink, lat[i] - y));
  const limit = Math.max(300, 10 * km.slice().sort()[Math.floor(0.75 * (n - 1))]);
  const far: { row: number; km: number }[] = [];
  for (let i = 0; i < n; i++) if (km[i] > limit) far.push({ row: i, km: km[i] });
  return far.length * 20 > n && far.length > 1 ? [] : far;
}

export function extentOf(
  lon: Float64Array,
  lat: Float64Array,
  use: (i: number) => boolean = () => true,
  at: (i: number) => readonly [number, number] = (i) => [lon[i], lat[i]],
): Box | null {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < lon.length; i++) {
    if (!use(i)) continue;
    const [x, y] = at(i);
    if (!(Math.abs(x) <= 180) || !(Math.abs(y) <= 90)) continue;
    if (x < west) west = x;
    if (x > east) east = x;
    if (y < south) south = y;
    if (y > north) north = y;
  }
  return west <= east ? [west, south, east, north] : null;
}

function count(n: number, is: (i: number) => boolean): number {
  let found = 0;
  for (let i = 0; i < n; i++) if (is(i)) found++;
  return found;
}
