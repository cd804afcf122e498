import type { ScoutingDay } from '../../domain/scouting/types.ts';
import { csv, type Cell } from './csv.ts';
import { geojson } from './geojson.ts';
import { gpx } from './gpx.ts';

/** Seconds after midnight as 07:30; past midnight the hours go on (25:10), so that no time is mistaken for the morning. */
export function clockTime(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}

const guessWords = (day: ScoutingDay): string =>
  `Straight-line guess: distances are geodesic times ${day.guess.detour} at ${day.guess.kmh} km/h; no roads are known to it`;

/** The usual caution of the trade where a line on a map might be taken for a way. */
const CAUTION =
  'The line between stops is no way to walk or drive. Enter private ground only with leave; mind traffic, steep ground and weather';

export interface RouteTexts {
  readonly title: string;
  readonly date: string;
  readonly species: string;
  readonly notice: string;
  /** ISO time in UTC. */
  readonly time: string;
}

/** Stops as waypoints, and the way from start to end as a route. */
export function routeGpx(day: ScoutingDay, texts: RouteTexts): string {
  const stops = day.stops.map((s, i) => ({
    lon: s.lon,
    lat: s.lat,
    name: `${i + 1} ${s.id}`,
    description: [
      s.title === s.id ? '' : s.title,
      texts.species,
      `arrive ${clockTime(s.arrive)}, leave ${clockTime(s.leave)}`,
      s.late ? 'after the hours of the day' : '',
    ]
      .filter((t) => t !== '')
      .join('; '),
    type: 'Mother tree',
  }));
  const description = [texts.species, texts.date, guessWords(day), CAUTION, texts.notice]
    .filter((t) => t !== '')
    .join('. ');
  const start = { ...day.start, description: `leave ${clockTime(day.leave)}`, type: 'Start' };
  const end = { ...day.end, description: `arrive ${clockTime(day.home)}`, type: 'End' };
  return gpx({
    name: texts.title,
    description,
    time: texts.time,
    waypoints: stops,
    route: { name: texts.title, points: [start, ...stops, end] },
  });
}

/** The line of the whole day, then a point a stop. */
export function routeGeojson(day: ScoutingDay, texts: RouteTexts): string {
  const line = [day.start, ...day.stops, day.end].map((p) => [p.lon, p.lat] as const);
  return geojson([
    {
      geometry: { kind: 'line', line },
      properties: {
        title: texts.title,
        date: texts.date,
        species: texts.species,
        start: day.start.name,
        end: day.end.name,
        leave: clockTime(day.leave),
        home: clockTime(day.home),
        travel_m: Math.round(day.travelMetres),
        travel_s: Math.round(day.travelSeconds),
        travel_bound_s: Math.round(day.boundSeconds),
        how: guessWords(day),
        caution: CAUTION,
        ...(texts.notice ? { notice: texts.notice } : {}),
      },
    },
    ...day.stops.map((s, i) => ({
      id: s.id,
      geometry: { kind: 'place' as const, place: s },
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

const COLUMNS = ['stop', 'id', 'name', 'lon', 'lat', 'arrive', 'leave', 'travel_min', 'travel_km', 'late'];

/** A row a stop between the start (stop 0) and the end, each with the travel from the one before: travel adds up. */
export function routeCsv(day: ScoutingDay, texts: RouteTexts): string {
  const degrees = (x: number): number => Number(x.toFixed(7));
  const minutes = (s: number): number => Number((s / 60).toFixed(1));
  const km = (m: number): number => Number((m / 1000).toFixed(3));
  const notice = texts.notice ? [texts.notice] : [];
  const rows: Cell[][] = [
    [
      0,
      '',
      day.start.name,
      degrees(day.start.lon),
      degrees(day.start.lat),
      '',
      clockTime(day.leave),
      0,
      0,
      false,
    ],
    ...day.stops.map((s, i) => [
      i + 1,
      s.id,
      s.title,
      degrees(s.lon),
      degrees(s.lat),
      clockTime(s.arrive),
      clockTime(s.leave),
      minutes(s.travelSeconds),
      km(s.travelMetres),
      s.late,
    ]),
    [
      day.stops.length + 1,
      '',
      day.end.name,
      degrees(day.end.lon),
      degrees(day.end.lat),
      clockTime(day.home),
      '',
      minutes(day.lastLegSeconds),
      km(day.lastLegMetres),
      day.home > day.until,
    ],
  ];
  return csv(
    [...COLUMNS, ...(texts.notice ? ['notice'] : [])],
    rows.map((row) => [...row, ...notice]),
  );
}
