import type { ScoutingDay } from '../../domain/scouting/types.ts';
import { csv } from './csv.ts';
import { geojson } from './geojson.ts';
import { gpx } from './gpx.ts';

/** Seconds after midnight as 07:30; past midnight the hours go on (25:10), so that no time is mistaken for the morning. */
export function clockTime(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}

const guessWords = (day: ScoutingDay): string =>
  `Straight-line guess: distances are geodesic times ${day.guess.detour} at ${day.guess.kmh} km/h; no roads are known to it.`;

export interface RouteTexts {
  readonly title: string;
  readonly date: string;
  readonly species: string;
  readonly notice: string;
  /** ISO time in UTC. */
  readonly time: string;
}

export function routeGpx(day: ScoutingDay, texts: RouteTexts): string {
  const stops = day.stops.map((s, i) => ({
    lon: s.lon,
    lat: s.lat,
    name: `${i + 1} ${s.id}`,
    description: [
      s.title === s.id ? '' : s.title,
      texts.species,
      `arrive ${clockTime(s.arrive)}, leave ${clockTime(s.leave)}`,
    ]
      .filter((t) => t !== '')
      .join('; '),
    type: 'Mother tree',
  }));
  const description = [texts.species, texts.date, guessWords(day), texts.notice]
    .filter((t) => t !== '')
    .join('. ');
  return gpx({
    name: texts.title,
    description,
    time: texts.time,
    waypoints: stops,
    route: { name: texts.title, points: [{ ...day.start }, ...stops, { ...day.end }] },
  });
}

export function routeGeojson(day: ScoutingDay, texts: RouteTexts): string {
  const line = [day.start, ...day.stops, day.end].map((p) => [p.lon, p.lat] as const);
  return geojson([
    {
      geometry: { type: 'LineString', coordinates: line },
      properties: {
        title: texts.title,
        date: texts.date,
        travel_m: Math.round(day.travelMetres),
        travel_s: Math.round(day.travelSeconds),
        travel_bound_s: Math.round(day.boundSeconds),
        how: guessWords(day),
        ...(texts.notice ? { notice: texts.notice } : {}),
      },
    },
    ...day.stops.map((s, i) => ({
      id: s.id,
      geometry: { type: 'Point' as const, coordinates: [s.lon, s.lat] as const },
      properties: {
        stop: i + 1,
        id: s.id,
        name: s.title,
        arrive: clockTime(s.arrive),
        leave: clockTime(s.leave),
        late: s.late,
      },
    })),
  ]);
}

export function routeCsv(day: ScoutingDay, texts: RouteTexts): string {
  const columns = [
    'stop',
    'id',
    'name',
    'lon',
    'lat',
    'arrive',
    'leave',
    'travel_min',
    'travel_km',
    'late',
    ...(texts.notice ? ['notice'] : []),
  ];
  return csv(
    columns,
    day.stops.map((s, i) => [
      i + 1,
      s.id,
      s.title,
      Number(s.lon.toFixed(7)),
      Number(s.lat.toFixed(7)),
      clockTime(s.arrive),
      clockTime(s.leave),
      Math.round(s.travelSeconds / 60),
      Number((s.travelMetres / 1000).toFixed(2)),
      s.late,
      ...(texts.notice ? [texts.notice] : []),
    ]),
  );
}
