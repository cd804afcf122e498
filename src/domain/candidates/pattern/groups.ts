import Flatbush from 'flatbush';
import { boxAround } from '../../base/box.ts';
import { localFrame } from '../../base/localFrame.ts';
import { areaIndex } from '../../layers/areaIndex.ts';
import type { Candidates } from '../candidates.ts';
import { speciesKeys } from '../duplicates.ts';
import type { Group } from './types.ts';

/** A position worse than this says nothing on a pattern, metres. */
export const LEAST_ACCURATE = 10;
/** Trees further apart are not one group unless a stand holds them, metres. */
const WIDEST = 250;

/**
 * Trees of one species (each hybrid apart) that are looked at together: those inside the outline of one stand; those of one
 * stand by name that lie within 250 m; of the rest, trees that are linked by steps of at most `link` metres (single linkage).
 * Groups wider than 250 m are cut into equal strips, so that a long avenue or a whole wood is several.
 *
 * Left out: repeats of a record, positions worse than 10 m, and stands themselves.
 * @param link metres; more than 250 counts as 250.
 * @param like only the species of this row.
 * @returns in the order of their first rows; rows ascending; groups of one included.
 */
export function groups(candidates: Candidates, link: number, like?: number): Group[] {
  const { n, lon, lat, accuracy, duplicateOf, stands, text } = candidates;
  const kinds = speciesKeys(candidates);
  const grounds = [...(stands ?? [])];
  const inside = grounds.length > 0 ? areaIndex(grounds.map(([, s]) => s.outline)) : null;
  const held = new Map<string, number[]>();
  const named = new Map<string, number[]>();
  const rest = new Map<string, number[]>();
  const put = (map: Map<string, number[]>, key: string, i: number): void => {
    const rows = map.get(key);
    if (rows) rows.push(i);
    else map.set(key, [i]);
  };
  for (let i = 0; i < n; i++) {
    if (duplicateOf[i] >= 0 || accuracy[i] > LEAST_ACCURATE || stands?.has(i)) continue;
    if (!Number.isFinite(lon[i]) || !Number.isFinite(lat[i])) continue;
    if (like !== undefined && kinds[i] !== kinds[like]) continue;
    const kind = String(kinds[i]);
    const ground = inside?.areaOf(lon[i], lat[i]) ?? -1;
    const name = text.stand?.[i].trim() ?? '';
    if (ground >= 0) put(held, `${ground}|${kind}`, i);
    else if (name !== '') put(named, `${name}|${kind}`, i);
    else put(rest, kind, i);
  }
  const found: Group[] = [];
  for (const [key, rows] of held) {
    const [row] = grounds[Number(key.split('|', 1)[0])];
    const stand = text.stand?.[row] || text.name?.[row] || candidates.id[row];
    found.push({ rows: Int32Array.from(rows), stand, outline: row });
  }
  for (const [key, rows] of named) {
    const frame = frameOf(candidates, rows);
    const kind = key.slice(key.lastIndexOf('|') + 1);
    // A name that means a whole forest, or two woods of one name, is no group.
    if (Math.max(frame.width, frame.height) > WIDEST) for (const i of rows) put(rest, kind, i);
    else found.push({ rows: Int32Array.from(rows), stand: text.stand?.[rows[0]].trim() ?? '', outline: -1 });
  }
  for (const rows of rest.values()) {
    for (const linked of linkage(
      candidates,
      rows.sort((a, b) => a - b),
      Math.min(link, WIDEST),
    ))
      for (const part of cut(candidates, linked))
        found.push({ rows: Int32Array.from(part).sort(), stand: '', outline: -1 });
  }
  return found.sort((a, b) => a.rows[0] - b.rows[0]);
}

/** Rows in sets that are linked by steps of at most `link` metres. */
function linkage({ lon, lat }: Candidates, rows: readonly number[], link: number): number[][] {
  const tree = new Flatbush(rows.length);
  for (const i of rows) tree.add(lon[i], lat[i]);
  tree.finish();
  const taken = new Uint8Array(rows.length);
  const sets: number[][] = [];
  for (let first = 0; first < rows.length; first++) {
    if (taken[first]) continue;
    taken[first] = 1;
    const set = [first];
    // The set grows while it is walked through.
    for (let k = 0; k < set.length; k++) {
      const i = rows[set[k]];
      const { lonMetres, latMetres } = localFrame(lat[i]);
      const dx = (1.001 * link) / lonMetres;
      const dy = (1.001 * link) / latMetres;
      tree.search(lon[i] - dx, lat[i] - dy, lon[i] + dx, lat[i] + dy, (j) => {
        if (taken[j]) return false;
        const near =
          ((lon[rows[j]] - lon[i]) * lonMetres) ** 2 + ((lat[rows[j]] - lat[i]) * latMetres) ** 2 <=
          link * link;
        if (near) {
          taken[j] = 1;
          set.push(j);
        }
        return false;
      });
    }
    sets.push(set.map((k) => rows[k]));
  }
  return sets;
}

/** Halves and thirds ... of a group along its longer side until each is at most 250 m wide and high. */
function cut(candidates: Candidates, rows: number[]): number[][] {
  const { lon, lat } = candidates;
  const { west, south, width, height } = frameOf(candidates, rows);
  const longer = Math.max(width, height);
  if (longer <= WIDEST) return [rows];
  const count = Math.ceil(longer / WIDEST);
  const strips = Array.from({ length: count }, (): number[] => []);
  const { lonMetres, latMetres } = localFrame(south);
  for (const i of rows) {
    const at = width >= height ? (lon[i] - west) * lonMetres : (lat[i] - south) * latMetres;
    strips[Math.min(count - 1, Math.floor((at / longer) * count))].push(i);
  }
  return strips.filter((s) => s.length > 0).flatMap((s) => cut(candidates, s));
}

function frameOf({ lon, lat }: Candidates, rows: readonly number[]) {
  const [west, south, east, north] = boxAround(rows.map((i) => [lon[i], lat[i]] as const));
  const { lonMetres, latMetres } = localFrame(south);
  return { west, south, width: (east - west) * lonMetres, height: (north - south) * latMetres };
}
