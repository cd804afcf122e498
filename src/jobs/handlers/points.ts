import type { Jobs } from '../protocol.ts';

/** Standings from here on are not drawn. */
const NOT_DRAWN = 4;

/** Candidate points as GeoJSON text: feature id = row, s = standing. Written by hand, since a million objects would be made otherwise. */
export function points({ lon, lat, standing }: Jobs['points']['input']): Blob {
  const parts: string[] = [];
  for (let i = 0; i < lon.length; i++) {
    if (standing[i] >= NOT_DRAWN) continue;
    parts.push(
      `{"type":"Feature","id":${i},"properties":{"s":${standing[i]}},"geometry":{"type":"Point","coordinates":[${lon[i].toFixed(7)},${lat[i].toFixed(7)}]}}`,
    );
  }
  return new Blob([`{"type":"FeatureCollection","features":[${parts.join(',')}]}`], {
    type: 'application/geo+json',
  });
}
