/**
 * A second round of the notebook: trees near people and at the edges of things, natural and planted, so that ruling out planted
 * ones is put to the test. Their records say little, as such records do, and never how they came there.
 */
import type { Local } from './frame.ts';
import type { Ground } from './ground.ts';
import { diameterOf } from './growth.ts';
import type { InventoryTree } from './inventory.ts';
import { Near } from './near.ts';
import { placeOf, treeAt, type Tree } from './notebook.ts';
import type { Planned } from './planned.ts';
import { rng, type Rng } from './rng.ts';
import { find } from './search.ts';
import { makeSurveyNatural } from './surveyNatural.ts';
import type { Surveyor } from './surveyor.ts';
import { makeSurveyPlanted } from './surveyPlanted.ts';
import { KINDS } from './truth.ts';
import { SPECIES_1 } from './tuning.ts';

/** The survey keeps this far from trees that the plantings need. */
const AWAY = 700;

/** What a survey among people notes of the looks of a tree: nothing that makes it one of the best. */
const looks = (r: Rng): Partial<Tree> => ({
  form: r.int(1, 2),
  crown: r.int(1, 3),
  crop: r.int(0, 2),
  stand: '',
  setting: '',
  establishmentMeans: '',
  degreeOfEstablishment: '',
  regeneration: r.pick(['', '', '', 'none', 'seedlings']),
  notes: '',
});

export function makeSurvey(
  g: Ground,
  planned: Planned,
  earlier: readonly Tree[],
): { trees: Tree[]; entries: Array<Omit<InventoryTree, 'id'>> } {
  const r = rng('survey');
  const own = new Near(300, earlier.map(placeOf));
  const trees: Tree[] = [];
  const entries: Array<Omit<InventoryTree, 'id'>> = [];
  const s: Surveyor = {
    g,
    r,
    trees,
    entries,
    free: (metres) => (p) => !own.within(p, metres) && !planned.kept.within(p, AWAY),
    note: (place, kind, years, set = {}) => {
      const species = set.species ?? r.pick([SPECIES_1, SPECIES_1, 'Quercus rubra']);
      // Trees of the woods grow slowly, those that people set stand free.
      const open = KINDS[kind].origin === 'planted' || !['road edge', 'grove'].includes(kind);
      const tree = treeAt(place, species, r, {
        ...looks(r),
        accuracy: r.int(3, 7),
        dbh: diameterOf(species, years, r, open),
        kind,
        ...set,
      });
      trees.push(tree);
      own.add(place);
      return tree;
    },
    list: (tree, where, planted) =>
      void entries.push({
        species: tree.species,
        dbh: tree.dbh,
        planted,
        place: nearby(placeOf(tree), r),
        where,
      }),
    find: (what, tests, around) => find(what, r, tests, around),
  };
  makeSurveyPlanted(s);
  makeSurveyNatural(s);
  return { trees, entries };
}

/** Where another surveyor put the same tree. */
const nearby = ([u, v]: Local, r: Rng): Local => [u + r.between(-1.5, 1.5), v + r.between(-1.5, 1.5)];
