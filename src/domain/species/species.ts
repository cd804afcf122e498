/**
 * The oaks of eastern North America that the program knows by name. A candidate's species is an index into `OAKS`, so
 * new species go to the end of the list.
 *
 * Names and seasons to mature of the first 23: Bonner 2008, Quercus, in The Woody Plant Seed Manual (USDA Forest Service
 * Agriculture Handbook 727), tables 2 and 3. The remaining species, sections (Denk et al. 2017), synonyms and named
 * hybrids: Flora of North America vol. 3 (1997) from memory.
 */
export type Section = 'red' | 'white' | 'live' | 'turkey';

/** Sections in the words and Latin names of the trade. Trees cross far more readily within a section than between two. */
export const SECTIONS: Readonly<Record<Section, string>> = {
  red: 'red oaks (section Lobatae)',
  white: 'white oaks (section Quercus)',
  live: 'live oaks (section Virentes)',
  turkey: 'Old World section Cerris',
};

export interface Oak {
  readonly name: string;
  readonly common: string;
  readonly section: Section;
  /** Growing seasons from flower to ripe acorn. */
  readonly seasons: 1 | 2;
  /** Scientific synonyms without the genus. */
  readonly synonyms: readonly string[];
  /** Further common names without the word "oak". */
  readonly alsoCalled: readonly string[];
  /** Not native to eastern North America. */
  readonly introduced?: true;
}

const oak = (
  epithet: string,
  common: string,
  section: Section,
  seasons: 1 | 2,
  synonyms: readonly string[] = [],
  alsoCalled: readonly string[] = [],
): Oak => ({ name: `Quercus ${epithet}`, common, section, seasons, synonyms, alsoCalled });

export const OAKS: readonly Oak[] = [
  oak('alba', 'white oak', 'white', 1, [], ['eastern white', 'northern white', 'stave']),
  oak('bicolor', 'swamp white oak', 'white', 1, ['platanoides']),
  oak('macrocarpa', 'bur oak', 'white', 1, ['olivaeformis'], ['burr', 'mossycup', 'mossy cup']),
  oak('lyrata', 'overcup oak', 'white', 1),
  oak('michauxii', 'swamp chestnut oak', 'white', 1, ['houstoniana'], ['cow', 'basket']),
  oak(
    'montana',
    'chestnut oak',
    'white',
    1,
    ['prinus', 'prinus var monticola'],
    ['rock chestnut', 'mountain chestnut'],
  ),
  oak(
    'muehlenbergii',
    'chinkapin oak',
    'white',
    1,
    ['muhlenbergii', 'acuminata', 'prinoides var acuminata'],
    ['chinquapin', 'chinquapin white', 'yellow chestnut'],
  ),
  oak('stellata', 'post oak', 'white', 1, ['obtusiloba', 'minor']),
  oak('virginiana', 'live oak', 'live', 1, ['virens'], ['southern live']),
  oak(
    'rubra',
    'northern red oak',
    'red',
    2,
    ['borealis', 'maxima', 'rubra var ambigua'],
    ['eastern red', 'gray'],
  ),
  oak(
    'velutina',
    'black oak',
    'red',
    2,
    ['tinctoria', 'missouriensis'],
    ['eastern black', 'yellow bark', 'quercitron'],
  ),
  oak('coccinea', 'scarlet oak', 'red', 2),
  oak('falcata', 'southern red oak', 'red', 2, ['digitata', 'triloba']),
  oak(
    'pagoda',
    'cherrybark oak',
    'red',
    2,
    [
      'pagodifolia',
      'pagodaefolia',
      'falcata var pagodifolia',
      'falcata var pagodaefolia',
      'leucophylla',
      'falcata var leucophylla',
    ],
    ['cherry bark'],
  ),
  oak('palustris', 'pin oak', 'red', 2),
  oak('phellos', 'willow oak', 'red', 2),
  oak('nigra', 'water oak', 'red', 2, ['aquatica']),
  oak('texana', 'Nuttall oak', 'red', 2, ['nuttallii'], ['nuttalls']),
  oak('shumardii', 'Shumard oak', 'red', 2, [], ['shumard red', 'shumards']),
  oak('imbricaria', 'shingle oak', 'red', 2),
  oak('ilicifolia', 'bear oak', 'red', 2, ['nana'], ['bear scrub']),
  oak('ellipsoidalis', 'northern pin oak', 'red', 2, [], ['hills']),
  { ...oak('acutissima', 'sawtooth oak', 'turkey', 2), introduced: true },
  oak('marilandica', 'blackjack oak', 'red', 2, [], ['black jack']),
  oak('laurifolia', 'swamp laurel oak', 'red', 2, ['obtusa'], ['diamond leaf', 'diamondleaf']),
  oak('hemisphaerica', 'Darlington oak', 'red', 2, [], ['darlington laurel', 'sand laurel']),
  oak('incana', 'bluejack oak', 'red', 2, ['cinerea'], ['blue jack']),
  oak('laevis', 'turkey oak', 'red', 2, ['catesbaei']),
  oak('buckleyi', 'Buckley oak', 'red', 2, ['shumardii var texana'], ['texas red', 'buckleys']),
  oak('georgiana', 'Georgia oak', 'red', 2),
  oak('arkansana', 'Arkansas oak', 'red', 2),
  oak('myrtifolia', 'myrtle oak', 'red', 2),
  oak('prinoides', 'dwarf chinkapin oak', 'white', 1, [], ['dwarf chinquapin']),
  oak('margarettae', 'sand post oak', 'white', 1, [
    'margaretta',
    'stellata var margaretta',
    'stellata var margarettae',
  ]),
  oak(
    'similis',
    'bottomland post oak',
    'white',
    1,
    ['stellata var paludosa', 'mississippiensis', 'stellata var mississippiensis'],
    ['delta post', 'swamp post'],
  ),
  oak('sinuata', 'bastard oak', 'white', 1, ['durandii'], ['durand', 'bluff', 'bigelow']),
  oak('austrina', 'bastard white oak', 'white', 1, [], ['bluff white']),
  oak('oglethorpensis', 'Oglethorpe oak', 'white', 1),
  oak('chapmanii', 'Chapman oak', 'white', 1, [], ['chapmans']),
  oak('geminata', 'sand live oak', 'live', 1, ['virginiana var geminata']),
  oak('minima', 'dwarf live oak', 'live', 1),
  {
    ...oak('robur', 'English oak', 'white', 1, ['pedunculata'], ['pedunculate', 'common']),
    introduced: true,
  },
];

/** Named hybrids: the name after the hybrid sign, and the parents' epithets. */
export const NAMED_HYBRIDS: Readonly<Record<string, readonly [string, string]>> = {
  beadlei: ['alba', 'michauxii'],
  bebbiana: ['alba', 'macrocarpa'],
  bushii: ['marilandica', 'velutina'],
  deamii: ['macrocarpa', 'muehlenbergii'],
  exacta: ['imbricaria', 'palustris'],
  fernowii: ['alba', 'stellata'],
  filialis: ['phellos', 'velutina'],
  hawkinsiae: ['rubra', 'velutina'],
  heterophylla: ['phellos', 'rubra'],
  jackiana: ['alba', 'bicolor'],
  leana: ['imbricaria', 'velutina'],
  richteri: ['palustris', 'rubra'],
  runcinata: ['imbricaria', 'rubra'],
  saulii: ['alba', 'montana'],
  schochiana: ['palustris', 'phellos'],
  schuettei: ['bicolor', 'macrocarpa'],
};

/** Common names (without "oak") that the trade uses for more than one species: never guessed. */
export const AMBIGUOUS: Readonly<Record<string, string>> = {
  red: 'northern red, southern red, Shumard and cherrybark oak are all called "red oak"',
  swamp: 'swamp white, swamp chestnut, pin and other oaks are called "swamp oak"',
  laurel: 'Q. laurifolia and Q. hemisphaerica are both called "laurel oak"',
  spanish: 'Q. falcata, Q. buckleyi and others are called "Spanish oak"',
  scrub: 'bear oak and other shrubby oaks are called "scrub oak"',
  rock: 'chestnut oak and other oaks are called "rock oak"',
  jack: 'northern pin, shingle and blackjack oak are all called "jack oak"',
  possum: 'water oak and other oaks are called "possum oak"',
  'swamp red': 'cherrybark, Shumard and Nuttall oak are all called "swamp red oak"',
  bottomland: 'several species are called "bottomland oak"',
};

/** Scientific names that older works gave to another species as well: read, with a note. */
export const READ_WITH_CARE: Readonly<Record<string, string>> = {
  prinus:
    'Q. prinus is read as Q. montana (chestnut oak); some works used it for Q. michauxii (swamp chestnut oak)',
  texana: 'Q. texana is read as Nuttall oak; some works used it for Q. buckleyi (Texas red oak)',
};
