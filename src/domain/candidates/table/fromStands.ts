import type { Area, Spot } from '../../base/geo.ts';
import { fail, ok, type Note, type Result } from '../../base/result.ts';
import type { Work } from '../../base/work.ts';
import type { Candidates, Stand } from '../candidates.ts';
import { candidatesFromSpots, type CandidatesRead } from './fromTable.ts';
import type { TableReading } from './reading.ts';
import { standPoint } from '../standPoint.ts';

/** An attribute that no file has by accident: the radius is the outline's own. */
const RADIUS = '\u0000radius';

/**
 * Candidates from polygons: each is a stand. Its position is a point surely inside, its accuracy the radius that covers the
 * outline from there; its attributes are columns as those of a point are. A polygon without an area is left out and noted.
 */
export async function candidatesFromStands(
  areas: readonly Area[],
  file: string,
  how: TableReading = {},
  work: Work = {},
): Promise<Result<CandidatesRead>> {
  const spots: Spot[] = [];
  const stands: Stand[] = [];
  const notes: Note[] = [];
  areas.forEach(({ geometry, attributes }, i) => {
    const point = standPoint(geometry);
    if (!point) {
      notes.push({ where: `${file}, feature ${i + 1}`, what: 'is a polygon without an area; left out' });
      return;
    }
    const { lon, lat, radius, area } = point;
    spots.push({ lon, lat, attributes: { ...attributes, [RADIUS]: radius.toFixed(1) } });
    stands.push({ outline: geometry, area });
  });
  if (spots.length === 0)
    return fail(
      'content',
      file,
      `none of its ${areas.length} polygons has an area`,
      'Bring stands as polygons, or trees as points.',
    );
  const read = await candidatesFromSpots(
    spots,
    file,
    { ...how, mapping: { ...how.mapping, accuracy: RADIUS } },
    work,
  );
  if (!read.ok) return read;
  const { candidates } = read.value;
  // Every spot has a place, so every spot has a row.
  const withStands: Candidates = { ...candidates, stands: new Map(stands.map((s, row) => [row, s])) };
  return ok({
    ...read.value,
    candidates: withStands,
    notes: [
      {
        where: file,
        what: `holds ${spots.length} stand${spots.length === 1 ? '' : 's'} as polygons: each is one candidate; spacing is measured from a point inside it, and its accuracy is the radius that covers it from there`,
      },
      ...notes,
      ...read.value.notes,
    ],
  });
}
