import { resolveSpecies } from '../domain/species/species.ts';
import { zoneRanking, zoneTable, type ZoneRow, type ZoneTable } from '../domain/vetting/zoneRanking.ts';
import type { Kinstand } from './kinstand.svelte.ts';

type Known = Pick<Kinstand, 'ranking' | 'contacts' | 'results' | 'planting' | 'layers' | 'least'>;

/** The ranking of zones as it is on screen: empty until both it and the names of the zones are there. */
export function zoneRows(k: Known): ZoneRow[] {
  const { planting } = k;
  const match = k.ranking.value;
  const table = tableOf(k);
  // Zones of another file than those that are named by now.
  if (!planting || !match || !table || match.zones.some((z) => z.zone >= table.keys.length)) return [];
  const { vetting } = k.results;
  const { candidates } = k.layers;
  const fits = vetting?.plantingId === planting.id && vetting.n === candidates?.n;
  return zoneRanking(
    match,
    table,
    k.least,
    vetting && candidates && fits
      ? { vetting, candidates, species: resolveSpecies(planting.species).species }
      : null,
  );
}

/** Names and contacts of the zones; as the vetting has them where the outlines are too tangled to tell. */
function tableOf({ ranking, contacts, results }: Known): ZoneTable | null {
  const homes = (ranking.value?.zones ?? []).flatMap(({ zone, km }) => (km === 0 ? [zone] : []));
  const told = contacts.value;
  if (told === null)
    return contacts.failure && results.vetting ? { ...zoneTable(results.vetting), homes } : null;
  const index = new Map(told.zones.map((z, i) => [z.key, i]));
  const pairs = told.pairs.flatMap(({ a, b, contact, sharedMetres }) =>
    contact === 'none' ? [] : [{ a: index.get(a) ?? -1, b: index.get(b) ?? -1, contact, sharedMetres }],
  );
  return {
    keys: told.zones.map((z) => z.key),
    names: told.zones.map((z) => z.name || z.key),
    adjacency: { pairs },
    homes,
  };
}
