import type { MultiPolygon } from '../../domain/base/geo.ts';
import type { ZoneRow } from '../../domain/vetting/zoneRanking.ts';
import { csv, type Cell } from './csv.ts';
import { geojson } from './geojson.ts';
import { figure } from './vetting.ts';

/** The columns of the ranking of zones, in lower_snake_case with the unit at the end. @param least threshold of the match. */
export function zoneRecord(row: ZoneRow, least: number): Record<string, Cell> {
  return {
    zone: row.key,
    name: row.name,
    contact: row.contact,
    match_at_least: least,
    share_over: figure(row.share),
    over_km2: figure(row.overKm2),
    known_km2: figure(row.knownKm2),
    area_km2: figure(row.km2),
    best_match: figure(row.best),
    best_lon: row.bestPlace && Number(row.bestPlace.lon.toFixed(7)),
    best_lat: row.bestPlace && Number(row.bestPlace.lat.toFixed(7)),
    eligible: figure(row.eligible),
    candidates: figure(row.candidates),
    to_site_km: figure(row.km),
  };
}

const told = (notice: string): Record<string, Cell> => (notice === '' ? {} : { notice });

/** A row a zone, in the order given; `notice` (invented data) becomes a column. */
export function zonesCsv(rows: readonly ZoneRow[], least: number, notice: string): string {
  const records = rows.map((row) => ({ ...zoneRecord(row, least), ...told(notice) }));
  const columns = Object.keys(records[0] ?? {});
  return csv(
    columns,
    records.map((record) => Object.values(record)),
  );
}

/** Outlines of the zones with the same columns. @param outlines by index into the zones layer. */
export function zonesGeojson(
  rows: readonly ZoneRow[],
  outlines: readonly MultiPolygon[],
  least: number,
  notice: string,
): string {
  return geojson(
    rows.map((row) => ({
      id: row.key,
      geometry: { kind: 'area', area: outlines[row.zone] },
      properties: { ...zoneRecord(row, least), ...told(notice) },
    })),
  );
}
