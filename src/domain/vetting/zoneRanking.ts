/** In which zones to look: the match surface summed up by zone, joined with what is known of the zones and their candidates. */
import type { Place } from '../base/geo.ts';
import type { Candidates } from '../candidates/candidates.ts';
import type { ZoneAdjacency } from '../layers/zones.ts';
import { ZONE_RELATIONS, zoneRelations } from '../layers/zoneRelations.ts';
import type { ZoneMatch } from './match/types.ts';
import type { Vetting } from './vetting.ts';

/** How a zone lies to the one that holds the site, nearest first; 'unknown': the site is in no zone, or neighbours are not told. */
export const HOME_CONTACTS = [...ZONE_RELATIONS, 'unknown'] as const;
export type HomeContact = (typeof HOME_CONTACTS)[number];

/** What the zones layer says: the lists run as the zones do. */
export interface ZoneTable {
  readonly keys: readonly string[];
  readonly names: readonly string[];
  /** null: not known which zones touch. */
  readonly adjacency: Pick<ZoneAdjacency, 'pairs'> | null;
  /** Zones that hold a site of the planting; a site outside all of them is not here. */
  readonly homes: readonly number[];
}

export interface ZoneRow {
  /** Index into the zones layer. */
  readonly zone: number;
  readonly key: string;
  readonly name: string;
  /** With several sites, to the one whose zone is farthest off: a candidate has to suit every site. */
  readonly contact: HomeContact;
  /** All of the zone; under cells with a match; under cells that match by at least the threshold. */
  readonly km2: number;
  readonly knownKm2: number;
  readonly overKm2: number;
  /** overKm2 of knownKm2; NaN where nothing is known. */
  readonly share: number;
  readonly best: number;
  readonly bestPlace: Place | null;
  /** Candidates of the planting's species in the zone, and those that are eligible; NaN before there is a vetting. */
  readonly candidates: number;
  readonly eligible: number;
  /** To the nearest site; 0 where the zone holds one. */
  readonly km: number;
}

export type ZoneColumn = Exclude<keyof ZoneRow, 'zone' | 'bestPlace'>;

/** A vetting with the candidates that it is of. */
export interface VettedCandidates {
  readonly vetting: Pick<Vetting, 'standing'> & { readonly measures: Pick<Vetting['measures'], 'zone'> };
  readonly candidates: Pick<Candidates, 'n' | 'species'>;
  /** Index into the species table: only these are counted. */
  readonly species: number;
}

/** The zones as a vetting has them. */
export const zoneTable = ({ zones, sites }: Pick<Vetting, 'zones' | 'sites'>): ZoneTable => ({
  ...zones,
  homes: sites.map((s) => s.zone).filter((z) => z >= 0),
});

/**
 * A row for each zone of `match`, in its order.
 * @param least threshold of the match, 0-1; taken to the nearest step of the histograms (0.001), in which it is exact.
 * @param vetted null before there is a vetting.
 */
export function zoneRanking(
  match: ZoneMatch,
  zones: ZoneTable,
  least: number,
  vetted: VettedCandidates | null,
): ZoneRow[] {
  // Match 1 lies in the last bin, so that the threshold 1 takes it.
  const first = Math.min(Math.max(0, Math.round(least * match.bins)), match.bins - 1);
  const contacts = contactsOf(zones);
  const counts = vetted && countsOf(vetted, zones.keys.length);
  return match.zones.map(({ zone, km2, knownKm2, histogram, best, bestPlace, km }) => {
    let overKm2 = 0;
    for (let bin = first; bin < match.bins; bin++) overKm2 += histogram[bin];
    return {
      zone,
      key: zones.keys[zone],
      name: zones.names[zone],
      contact: contacts[zone],
      km2,
      knownKm2,
      overKm2,
      share: knownKm2 > 0 ? Math.min(1, overKm2 / knownKm2) : NaN,
      best,
      bestPlace,
      candidates: counts ? counts.all[zone] : NaN,
      eligible: counts ? counts.eligible[zone] : NaN,
      km,
    };
  });
}

const names = new Intl.Collator('en', { numeric: true });

/** A new list in the order of a column, ties by name and key ("2" before "10"); what is not known comes last either way. */
export function sortZones(rows: readonly ZoneRow[], by: ZoneColumn, order: 'up' | 'down'): ZoneRow[] {
  const turn = order === 'up' ? 1 : -1;
  const compare = (a: ZoneRow, b: ZoneRow): number => {
    if (by === 'key' || by === 'name') return turn * names.compare(a[by], b[by]);
    const [x, y] = [valueOf(a, by), valueOf(b, by)];
    if (Number.isNaN(x) || Number.isNaN(y)) return Number(Number.isNaN(x)) - Number(Number.isNaN(y));
    return turn * (x - y);
  };
  return [...rows].sort(
    (a, b) => compare(a, b) || names.compare(a.name, b.name) || names.compare(a.key, b.key),
  );
}

function valueOf(row: ZoneRow, by: Exclude<ZoneColumn, 'key' | 'name'>): number {
  if (by !== 'contact') return row[by];
  return row.contact === 'unknown' ? NaN : HOME_CONTACTS.indexOf(row.contact);
}

function contactsOf({ keys, adjacency, homes }: ZoneTable): HomeContact[] {
  const own = [...new Set(homes)];
  const toHome = own.map((home) => zoneRelations(adjacency, keys.length, home));
  return keys.map((_, zone) => {
    // Without a table of neighbours only the home zone is known to be what it is.
    if (!adjacency) return own.length > 0 && own.every((home) => home === zone) ? 'home' : 'unknown';
    return HOME_CONTACTS[Math.max(...toHome.map((relation) => relation[zone]))] ?? 'unknown';
  });
}

function countsOf(
  { vetting, candidates, species }: VettedCandidates,
  zones: number,
): { readonly all: Uint32Array; readonly eligible: Uint32Array } {
  const all = new Uint32Array(zones);
  const eligible = new Uint32Array(zones);
  const { zone } = vetting.measures;
  for (let i = 0; i < candidates.n; i++) {
    if (candidates.species[i] !== species || zone[i] < 0) continue;
    all[zone[i]]++;
    if (vetting.standing[i] === 0) eligible[zone[i]]++;
  }
  return { all, eligible };
}
