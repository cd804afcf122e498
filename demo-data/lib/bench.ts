/** What the makers of planned trees share: the ground, the stream of numbers, the record so far, and tests of places. */
import type { Local } from './frame.ts';
import type { Ground } from './ground.ts';
import { Near } from './near.ts';
import { ownerAt, placeOf, standAt, treeAt, type Tree } from './notebook.ts';
import { rng, type Rng } from './rng.ts';
import { find, isWild, type Test } from './search.ts';
import { GROVE, GROVE_RADIUS, HOME_1, HOME_2, SITE_1, SITE_2 } from './tuning.ts';
import type { Trap } from './traps.ts';

export interface Bench {
  readonly g: Ground;
  readonly r: Rng;
  readonly trees: Tree[];
  readonly traps: Trap[];
  /** Ordinary trees keep away from these places, so that the traps stay what they are. */
  readonly kept: Near;
  readonly one: Local;
  readonly two: Local;
  /** Records a tree of the woods and keeps ordinary trees away from it. */
  put(t: Tree): Tree;
  /** Records a tree among people. */
  plant(t: Tree): Tree;
  readonly wild: Test;
  far(metres: number): Test;
  zone(...keys: string[]): Test;
  level(site: Local, metres: number): Test;
  alike(site: Local, least: number): Test;
  /** A record that says all that speaks for a natural tree, on land where the owner agreed. */
  natural(place: Local, species: string, own: Partial<Tree>): Tree;
}

export function makeBench(g: Ground): Bench {
  const r = rng('planned');
  const trees: Tree[] = [];
  const kept = new Near(700);
  // Sites: open ground well inside the home zone.
  const open: Test = (p) => [52, 71, 81].includes(g.coverAt(p)) && g.shares(p, 90).forest < 0.2;
  const height =
    ([low, high]: readonly [number, number]): Test =>
    (p) =>
      g.elevation(p) > low && g.elevation(p) < high;
  const deep =
    (key: string): Test =>
    (p) =>
      [-2000, 0, 2000].every((du) =>
        [-2000, 0, 2000].every((dv) => g.zoneOf([p[0] + du, p[1] + dv]) === key),
      );
  const one = find('site 1', r, [(p) => p[0] < 36_000, height(SITE_1), open, deep(HOME_1)]);
  const two = find('site 2', r, [height(SITE_2), open, deep(HOME_2)]);
  kept.add(one);
  kept.add(two);
  return {
    g,
    r,
    trees,
    traps: [],
    kept,
    one,
    two,
    put: (t) => {
      trees.push(t);
      kept.add(placeOf(t));
      return t;
    },
    plant: (t) => {
      trees.push(t);
      return t;
    },
    wild: (p) => isWild(g, p),
    far: (metres) => (p) => !kept.within(p, metres),
    zone:
      (...keys) =>
      (p) =>
        keys.includes(g.zoneOf(p)),
    level: (site, metres) => (p) => Math.abs(g.elevation(p) - g.elevation(site)) < metres,
    alike: (site, least) => (p) => g.match(p, site) > least,
    natural: (place, species, own) =>
      treeAt(place, species, r, {
        ...ownerAt(place, 'granted'),
        setting: 'woodland',
        keyUsed: 'leaf, acorn and bark',
        establishmentMeans: 'native',
        degreeOfEstablishment: 'native',
        regeneration: 'seedlings and saplings',
        ...own,
      }),
  };
}

/** Many trees, every two of them within a quarter mile. */
export function makeGrove(
  b: Bench,
  what: string,
  species: string,
  tests: readonly Test[],
  around: { at: Local; metres: number },
): Tree[] {
  const { g, r } = b;
  const c = find(what, r, [b.far(1500), b.wild, ...tests], around);
  const list: Tree[] = [];
  while (list.length < GROVE) {
    const p: Local = [
      c[0] + r.between(-GROVE_RADIUS, GROVE_RADIUS),
      c[1] + r.between(-GROVE_RADIUS, GROVE_RADIUS),
    ];
    const off = (q: Local): number => (q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2;
    if (off(c) > GROVE_RADIUS ** 2 || list.some((t) => off(placeOf(t)) < 22 ** 2)) continue;
    if (![41, 43].includes(g.coverAt(p))) continue;
    const scores = { form: r.int(2, 3), crown: 2, crop: r.int(1, 2) };
    list.push(b.put(b.natural(p, species, { ...scores, stand: standAt(c) })));
  }
  return list;
}
