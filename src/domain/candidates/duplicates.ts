import Flatbush from 'flatbush';
import { localFrame } from '../base/geodesy.ts';
import type { Records } from './candidates.ts';

/** Two records nearer than this are one tree whatever their accuracy, metres. */
const ALWAYS = 5;
/** Accuracy radii count up to this, metres: two oaks 60 m apart are two oaks though both positions are poor. */
const CAP = 30;
/** Diameters that differ by more than this share are two trees. */
export const GROWTH = 0.15;

/**
 * Records that repeat an earlier one (ours): same species, nearer than the smaller of both accuracy radii (at most 30 m, at
 * least 5 m), and no diameters on record that differ by more than 15 %. The earliest record of a tree stands; each later one
 * names it. Without a species in the table, the names as written must be the same.
 *
 * @param apart whether two rows are known to be two trees, however near.
 * @returns row of the record repeated, -1 none.
 */
export function duplicates(
  records: Records,
  apart: (a: number, b: number) => boolean = () => false,
): Int32Array {
  const { n, lon, lat, accuracy, dbh } = records;
  const of = new Int32Array(n).fill(-1);
  if (n === 0) return of;
  const tree = new Flatbush(n);
  for (let i = 0; i < n; i++) tree.add(lon[i], lat[i]);
  tree.finish();
  for (let i = 0; i < n; i++) {
    const { lonMetres, latMetres } = localFrame(lat[i]);
    const dx = CAP / lonMetres;
    const dy = CAP / latMetres;
    // Only records that stand for themselves are asked: a crowd of repeats at one place stays cheap.
    const near = tree.search(lon[i] - dx, lat[i] - dy, lon[i] + dx, lat[i] + dy, (j) => j < i && of[j] < 0);
    let best = -1;
    for (const j of near) {
      if (!sameSpecies(records, i, j)) continue;
      const radius = Math.max(ALWAYS, Math.min(CAP, accuracy[i] || 0, accuracy[j] || 0));
      const metres = Math.hypot((lon[i] - lon[j]) * lonMetres, (lat[i] - lat[j]) * latMetres);
      if (metres >= radius || apart(i, j) || Math.abs(dbh[i] - dbh[j]) > GROWTH * Math.max(dbh[i], dbh[j]))
        continue;
      if (best < 0 || j < best) best = j;
    }
    of[i] = best;
  }
  return of;
}

function sameSpecies(r: Records, i: number, j: number): boolean {
  if (r.species[i] !== r.species[j] || r.hybrid[i] !== r.hybrid[j]) return false;
  return r.species[i] >= 0 || r.speciesText[i].trim().toLowerCase() === r.speciesText[j].trim().toLowerCase();
}
