import type { Spot } from '../base/geo.ts';
import { localFrame } from '../base/localFrame.ts';
import { nearest, spotShapes } from '../layers/nearest.ts';
import { OAKS } from '../species/species.ts';
import type { Candidates } from './candidates.ts';
import { plantingReader, type Planting } from './inventoryPlanting.ts';
import { columnsOf, sampleOf } from './table/columns.ts';
import { speciesReader, type SpeciesOfRow } from './table/speciesColumn.ts';
import { spotTable } from './table/spotTable.ts';

/** A list of street, park or campus trees. */
export interface InventoryList {
  readonly title: string;
  readonly entries: readonly Spot[];
  /** Columns as the user chose them, and names of species as settled (see the plan's layer entry). */
  readonly columns?: Readonly<Record<string, string>> | undefined;
  readonly names?: Readonly<Record<string, string>> | undefined;
  /** The attribute that holds the year of planting, '' = none does; undefined: guessed. */
  readonly year?: string | undefined;
}

export interface InventoryColumns {
  /**
   * Metres to the nearest entry that may be the tree itself by its species; Infinity where the lists reach here and hold none
   * such; NaN where no list reaches.
   */
  readonly inventory: Float64Array;
  /** That entry, counted over all lists; -1 none. */
  readonly entry: Int32Array;
  /** Row -> sentence that names list, entry, year and distance. */
  readonly plantedOnRecord: ReadonlyMap<number, string>;
}

/** An entry this near is the tree itself whatever the accuracy, metres. */
export const LEAST_MATCH = 5;
/** With a position worse than this an entry nearby may be any tree, metres. */
export const MOST_MATCH = 30;
/** A list whose nearest entry, of whatever species, is further away does not reach here, metres. */
const REACH = 1000;

/**
 * How candidates stand to lists of street, park and campus trees. An entry is the tree where it lies within the accuracy of
 * the position (5 m at least, at most 30 m) and names no other species. Of the entries that are the tree, the nearest that
 * says where it comes from counts: one that says it was planted decides, one that says natural decides nothing.
 *
 * @param lists in the order of the plan. @param any metres to the nearest entry of any species, NaN not known.
 */
export function inventory(
  candidates: Candidates,
  lists: readonly InventoryList[],
  any: Float64Array,
): InventoryColumns {
  const { n, lon, lat, accuracy, species, hybrid } = candidates;
  const metres = Float64Array.from(any, (m) => (m <= REACH ? Infinity : NaN));
  const planted = new Map<number, string>();
  const entry = new Int32Array(n).fill(-1);
  const entries = lists.flatMap((list) => {
    const read = reader(list);
    return list.entries.map((spot, row): Entry => ({ spot, row, list: read }));
  });
  const rowsOf = new Map<string, number[]>();
  for (let i = 0; i < n; i++) {
    if (Number.isNaN(metres[i])) continue;
    const kind = `${species[i]} ${hybrid[i]}`;
    const rows = rowsOf.get(kind);
    if (rows) rows.push(i);
    else rowsOf.set(kind, [i]);
  }
  for (const rows of rowsOf.values()) {
    const parents = [species[rows[0]], hybrid[rows[0]]];
    const own = Array.from(entries.keys()).filter((e) =>
      mayBe(entries[e].list.species(entries[e].row), parents),
    );
    if (own.length === 0) continue;
    const close = new Map<number, Entry[]>();
    const at = (values: Float64Array): Float64Array => Float64Array.from(rows, (i) => values[i]);
    const found = nearest(spotShapes(own.map((e) => entries[e].spot)), at(lon), at(lat), {
      within: MOST_MATCH,
      counted: (shape, k) => {
        const list = close.get(k);
        if (list) list.push(entries[own[shape]]);
        else close.set(k, [entries[own[shape]]]);
      },
    });
    rows.forEach((i, k) => {
      metres[i] = found.metres[k];
      entry[i] = own[found.which[k]] ?? -1;
    });
    for (const [k, some] of close) {
      const i = rows[k];
      const sentence = plantedBy(some, lon[i], lat[i], matchRadius(accuracy[i]));
      if (sentence !== '') planted.set(i, sentence);
    }
  }
  return { inventory: metres, entry, plantedOnRecord: planted };
}

/** Metres within which an entry is the tree; 0 where the position is too poor to tell. @param accuracy metres, NaN not recorded. */
export function matchRadius(accuracy: number): number {
  const radius = Math.max(LEAST_MATCH, accuracy || 0);
  return radius <= MOST_MATCH ? radius : 0;
}

function plantedBy(close: readonly Entry[], lon: number, lat: number, radius: number): string {
  const { lonMetres, latMetres } = localFrame(lat);
  const told = close
    .map((entry) => ({
      entry,
      metres: Math.hypot((entry.spot.lon - lon) * lonMetres, (entry.spot.lat - lat) * latMetres),
      planting: entry.list.planting(entry.row),
    }))
    .filter(({ metres, planting }) => metres <= radius && planting.said !== '')
    .sort((a, b) => a.metres - b.metres);
  if (told.length === 0 || told[0].planting.said !== 'planted') return '';
  const { entry, metres, planting } = told[0];
  const when = Number.isNaN(planting.year) ? `"${planting.words}"` : `planted ${planting.year}`;
  const where = metres < 0.5 ? 'at the position' : `${Math.round(metres)} m from the position`;
  return `Planted by record: ${entry.list.title}, entry ${entry.list.id(entry.row)}, ${when}, ${where}`;
}

interface Entry {
  readonly spot: Spot;
  readonly row: number;
  readonly list: Reader;
}
interface Reader {
  readonly title: string;
  readonly id: (row: number) => string;
  readonly species: (row: number) => SpeciesOfRow;
  readonly planting: (row: number) => Planting;
}

function reader({ title, entries, columns, names, year }: InventoryList): Reader {
  const table = spotTable(entries);
  const found = columnsOf(table.columns, columns, sampleOf(table));
  const planting = plantingReader(table.columns, year);
  const { id } = found.at;
  return {
    title,
    id: (row) => (id === undefined ? '' : table.cell(row, id).trim()) || String(row + 1),
    species: speciesReader(table, found, names),
    planting: (row) => planting(entries[row].attributes),
  };
}

/** Texts that leave the species open. */
const OPEN =
  /^(|unknown|unk\w*|n\/?a|none|not (known|recorded)|undetermined|unidentified|other|tree|deciduous|hardwood|broad.?lea\w*|sp+\.?|[?-]+)$/i;
const OAK = /\boaks?\b|\bquercus\b|^q\b/i;

/**
 * Whether an entry may be a tree of these parents: it names one of them, or no species. One of another genus, a stump or a
 * vacant place is none of ours. "Red oak" may be any of the red section, and no other.
 */
function mayBe({ text, resolved }: SpeciesOfRow, parents: readonly number[]): boolean {
  const own = parents.filter((p) => p >= 0);
  if (resolved.species >= 0)
    return own.length === 0 || own.some((p) => p === resolved.species || p === resolved.hybrid);
  if (OPEN.test(text.trim())) return true;
  if (!OAK.test(text)) return false;
  return own.length === 0 || !/\bred\b/i.test(text) || own.some((p) => OAKS[p].section === 'red');
}
