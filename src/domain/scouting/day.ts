import { geodesicMetres } from '../base/geodesy.ts';
import type { Place } from '../base/geo.ts';
import type { ScoutingInputs } from './inputs.ts';
import { order } from './order.ts';
import type { ScoutingDay, Stop } from './types.ts';

/**
 * A scouting day by straight lines: the order of stops with the least travel from start to end, with times. Travel is the
 * geodesic times a detour at a set speed, which is a guess and is carried along as one. Stops that are left after the
 * hours of the day are marked late, not dropped: the user sees what does not fit.
 */
export function scoutingDay(input: ScoutingInputs): ScoutingDay {
  const { stops, start, leave, hours, stopMinutes, kmh, detour } = input;
  const end = input.end ?? start;
  const sameEnd = input.end === null || (end.lon === start.lon && end.lat === start.lat);
  const places: Place[] = sameEnd ? [start, ...stops] : [start, ...stops, end];
  const n = places.length;
  const metres = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const m = geodesicMetres(places[i].lon, places[i].lat, places[j].lon, places[j].lat) * detour;
      metres[i * n + j] = metres[j * n + i] = m;
    }
  }
  const metresPerSecond = kmh / 3.6;
  const found = order({
    cost: metres.map((m) => m / metresPerSecond),
    n,
    start: 0,
    end: sameEnd ? null : n - 1,
    closed: sameEnd,
  });

  const leaveAt = leave * 60;
  const until = leaveAt + hours * 3600;
  const visited = found.order.filter((p) => p !== 0 && (sameEnd || p !== n - 1));
  const timed: Stop[] = [];
  let at = 0;
  let now = leaveAt;
  for (const p of visited) {
    const leg = metres[at * n + p];
    now += leg / metresPerSecond;
    const stop = stops[p - 1];
    const done = now + stopMinutes * 60;
    timed.push({
      ...stop,
      arrive: now,
      leave: done,
      travelSeconds: leg / metresPerSecond,
      travelMetres: leg,
      late: done > until,
    });
    now = done;
    at = p;
  }
  const lastLeg = metres[at * n + (sameEnd ? 0 : n - 1)];
  const travelMetres = timed.reduce((sum, s) => sum + s.travelMetres, lastLeg);
  return {
    key: input.key,
    start,
    end,
    leave: leaveAt,
    home: now + lastLeg / metresPerSecond,
    until,
    stops: timed,
    travelSeconds: travelMetres / metresPerSecond,
    travelMetres,
    boundSeconds: found.bound,
    lastLegSeconds: lastLeg / metresPerSecond,
    lastLegMetres: lastLeg,
    guess: { detour, kmh },
  };
}
