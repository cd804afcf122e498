/** Ordinary candidates: trees of the woods, edges, old fields, burial grounds, orchards and parks, well off the planned ones. */
import { FRAME, type Local } from './frame.ts';
import type { Ground } from './ground.ts';
import { Near } from './near.ts';
import { placeOf, treeAt, type Tree } from './notebook.ts';
import { isWild } from './search.ts';
import { HOME_2, SPECIES_2 } from './tuning.ts';
import { rng, type Rng } from './rng.ts';

const WOODS = 330;
/** Share of the woods' trees that stand near an earlier one. */
const CLUSTERED = 0.22;
const EDGES = 45;
const PER_SETTING: ReadonlyArray<readonly ['old field' | 'burial ground' | 'orchard' | 'park', number]> = [
  ['old field', 2],
  ['burial ground', 2],
  ['orchard', 1],
  ['park', 3],
];
/** Ordinary trees keep this far from planned ones. */
const AWAY = 700;

/** Kinds of oak that would grow here, by height above the stream, elevation and range. */
function kindAt(g: Ground, p: Local, random: Rng): string {
  const above = g.aboveStream(p);
  const z = g.elevation(p);
  const t = random.next();
  if (g.inRange('Quercus stellata', p) && above > 30 && t < 0.35) return 'Quercus stellata';
  if (g.inRange('Quercus macrocarpa', p) && above < 45 && t < 0.5) return 'Quercus macrocarpa';
  const dry = above > 45 && z > 380;
  if (dry && t < 0.3 && g.zoneOf(p) !== HOME_2) return SPECIES_2;
  if (t < 0.6) return 'Quercus alba';
  return above > 30 && t < 0.82 ? 'Quercus velutina' : 'Quercus rubra';
}

export function makeScatter(g: Ground, planned: readonly Tree[], kept: Near): Tree[] {
  const random = rng('scatter');
  const trees: Tree[] = [];
  const spots: Local[] = [];
  const own = new Near(300, planned.map(placeOf));
  const anywhere = (): Local => [
    random.between(1500, FRAME.size - 1500),
    random.between(1500, FRAME.size - 1500),
  ];
  const put = (place: Local, set: Partial<Tree>, species = kindAt(g, place, random)): void => {
    trees.push(treeAt(place, species, random, set));
    own.add(place);
    spots.push(place);
  };
  for (let tries = 0; trees.length < WOODS && tries < 200_000; tries++) {
    const cluster = spots.length > 20 && random.chance(CLUSTERED);
    const from = cluster ? random.pick(spots) : null;
    const p: Local = from
      ? [from[0] + random.between(-190, 190), from[1] + random.between(-190, 190)]
      : anywhere();
    if (kept.within(p, AWAY) || own.within(p, cluster ? 25 : 450) || !isWild(g, p)) continue;
    put(p, { setting: random.chance(0.6) ? 'woodland' : '' });
  }
  for (let n = 0, tries = 0; n < EDGES && tries < 100_000; tries++) {
    const p = anywhere();
    const { forest } = g.shares(p, 100);
    if (
      forest < 0.3 ||
      forest > 0.75 ||
      ![41, 71, 81].includes(g.coverAt(p)) ||
      g.toBuilding(p) < 60 ||
      kept.within(p, AWAY) ||
      own.within(p, 200)
    )
      continue;
    put(p, {
      setting: g.coverAt(p) === 41 ? 'field edge' : 'opening',
      kind: 'edge',
      form: random.int(0, 2),
      crown: random.int(2, 3),
      crop: random.int(0, 2),
      establishmentMeans: '',
      degreeOfEstablishment: '',
      regeneration: random.pick(['', 'none', 'seedlings']),
    });
    n++;
  }
  for (const [kind, each] of PER_SETTING)
    for (const s of g.settings.filter((t) => t.setting === kind))
      for (let k = 0; k < each; k++) {
        const p: Local = [s.centre[0] + random.between(-30, 30), s.centre[1] + random.between(-22, 22)];
        if (own.within(p, 14) || kept.within(p, AWAY)) continue;
        const old = kind === 'burial ground';
        const dbh = old ? random.int(70, 128) : random.int(28, 74);
        put(p, {
          setting: kind,
          // Of a park's trees the stout ones are those that it was laid out about.
          kind: kind === 'park' ? (dbh < 50 ? 'park planting' : 'park remnant') : kind,
          dbh: kind === 'park' && dbh >= 50 ? dbh + 40 : dbh,
          ...(kind === 'old field'
            ? { form: random.int(0, 2), crown: random.int(2, 3), crop: random.int(0, 2) }
            : { form: random.int(1, 3), crown: random.int(2, 4), crop: random.int(1, 4) }),
          establishmentMeans: '',
          degreeOfEstablishment: '',
          regeneration: random.pick(['', 'none']),
          notes: old ? 'older than the stones around it' : '',
        });
      }
  return trees;
}
