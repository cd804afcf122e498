/**
 * Pairs of oaks of one section that are taken for one another, and what tells them apart: of the first, of the second. Source
 * and cautions as in keyCharacters.ts: Flora of North America vol. 3 (1997), from memory; check with a regional key.
 */
import type { KeyPart } from './keyCharacters.ts';
import { OAKS } from './species.ts';

type Tell = readonly [part: KeyPart, first: string, second: string];

export const LOOK_ALIKES: ReadonlyArray<readonly [string, string, readonly Tell[]]> = [
  // White section.
  [
    'alba',
    'bicolor',
    [
      ['leaf', 'hairless beneath when full grown', 'velvety beneath'],
      ['cup', 'stalk short or none', 'stalk longer than the leaf stalk'],
      ['twig', 'bark of branches does not peel', 'bark of young branches peels in curls'],
    ],
  ],
  [
    'alba',
    'macrocarpa',
    [
      ['leaf', 'lobes much alike, hairless beneath', 'upper half broad, fine hairs beneath'],
      ['cup', 'a quarter of the nut, no fringe', 'half of the nut or more, fringed'],
      ['twig', 'no corky ridges', 'often corky ridges'],
    ],
  ],
  [
    'alba',
    'montana',
    [
      ['leaf', 'lobes', 'even rounded teeth'],
      ['bud', 'small and round-tipped', 'long and pointed'],
      ['bark', 'light gray, scaly', 'dark, hard ridges, deep furrows'],
    ],
  ],
  [
    'alba',
    'stellata',
    [
      ['leaf', 'thin, hairless beneath', 'thick, cross-shaped, star-shaped hairs beneath'],
      ['twig', 'hairless', 'covered with yellowish hairs'],
    ],
  ],
  [
    'alba',
    'austrina',
    [
      ['leaf', 'lobes even, often deep; pale beneath', 'lobes irregular, mostly shallow; green beneath'],
      ['cup', 'about a quarter of the nut, warty', 'a third to a half of the nut, scales thin'],
    ],
  ],
  [
    'alba',
    'lyrata',
    [
      ['cup', 'a quarter of the nut', 'nearly the whole nut'],
      ['site', 'upland', 'ground that floods'],
    ],
  ],
  [
    'alba',
    'robur',
    [
      ['leaf', 'base tapers into a clear stalk', 'ear-shaped lobes at the base, hardly a stalk'],
      ['cup', 'stalk short or none', 'on a long thin stalk'],
    ],
  ],
  [
    'bicolor',
    'macrocarpa',
    [
      ['cup', 'on a long stalk, no soft fringe', 'stalk short, soft fringe'],
      ['leaf', 'shallow lobes or teeth throughout', 'one deep pair of notches near the middle'],
      ['twig', 'bark peels in curls', 'often corky ridges'],
    ],
  ],
  [
    'bicolor',
    'michauxii',
    [
      ['leaf', 'lobes or teeth uneven', 'teeth even, to near the base'],
      ['cup', 'on a long stalk', 'stalk short'],
    ],
  ],
  [
    'macrocarpa',
    'lyrata',
    [
      ['cup', 'open, with a fringe', 'closed over the nut, no fringe'],
      ['twig', 'often corky ridges', 'no corky ridges'],
    ],
  ],
  [
    'macrocarpa',
    'stellata',
    [
      ['cup', 'large, with a fringe', 'small, no fringe'],
      ['twig', 'fine hairs or none, often corky ridges', 'yellowish star-shaped hairs, no ridges'],
    ],
  ],
  [
    'michauxii',
    'montana',
    [
      ['leaf', 'velvety beneath', 'not velvety beneath'],
      ['cup', 'scales free to their base', 'scales grown together in rings'],
      ['bark', 'light, scaly', 'dark, hard, deep furrows'],
      ['site', 'bottomland', 'dry ridges'],
    ],
  ],
  [
    'michauxii',
    'muehlenbergii',
    [
      ['leaf', 'teeth rounded; velvety beneath', 'teeth with a small hard tip; not velvety'],
      ['cup', 'thick; nut large', 'thin; nut small'],
    ],
  ],
  [
    'montana',
    'muehlenbergii',
    [
      ['leaf', 'teeth rounded', 'teeth with a small hard tip'],
      ['bark', 'dark, hard, deep furrows', 'light gray, thin, flaky'],
      ['cup', 'nut large', 'nut small'],
    ],
  ],
  [
    'muehlenbergii',
    'prinoides',
    [
      ['leaf', 'many teeth a side, stalk long', 'few teeth a side, stalk short'],
      ['twig', 'a tree with one stem', 'a shrub that spreads from its roots'],
      ['site', 'mostly on limestone', 'mostly on sand, shale or poor acid ground'],
    ],
  ],
  [
    'stellata',
    'margarettae',
    [
      ['twig', 'stays hairy', 'hairless or nearly'],
      ['leaf', 'large, cross-shaped', 'small, lobes rounder'],
      ['site', 'many kinds of dry ground', 'deep sand'],
    ],
  ],
  [
    'stellata',
    'similis',
    [
      ['leaf', 'cross-shaped', 'longer and narrower, not cross-shaped'],
      ['site', 'dry ground', 'wet bottomland'],
    ],
  ],
  [
    'margarettae',
    'chapmanii',
    [['leaf', 'clearly lobed, dull', 'untoothed or shallowly wavy, glossy, leathery']],
  ],
  [
    'sinuata',
    'austrina',
    [
      ['leaf', 'silvery beneath; wavy or shallow lobes', 'green beneath; clearer lobes'],
      ['cup', 'very shallow', 'a third to a half of the nut'],
    ],
  ],
  [
    'sinuata',
    'oglethorpensis',
    [
      ['leaf', 'silvery beneath, hairs flat', 'yellowish green and velvety beneath'],
      ['cup', 'very shallow saucer', 'deeper than a saucer'],
    ],
  ],
  // Red section.
  [
    'rubra',
    'velutina',
    [
      ['bud', 'reddish brown, hairless below the tip', 'five-angled, gray or tawny hairs all over'],
      ['cup', 'shallow, scales tight', 'half of the nut, scales loose at the rim'],
      ['bark', 'shining flat ridges; inner bark pinkish', 'black blocks; inner bark yellow to orange'],
    ],
  ],
  [
    'rubra',
    'coccinea',
    [
      ['leaf', 'dull, cut half way or less', 'glossy, cut well over half way'],
      ['bud', 'round in section', 'five-angled, pale hairs on the upper half'],
      ['cup', 'shallow', 'a third to a half of the nut'],
    ],
  ],
  [
    'rubra',
    'shumardii',
    [
      ['bud', 'reddish brown, round in section', 'gray or straw-coloured, angled'],
      ['leaf', 'small tufts beneath', 'lobes widen to the end; clear tufts beneath'],
    ],
  ],
  [
    'rubra',
    'palustris',
    [
      ['leaf', '7 to 11 lobes, cut half way or less', '5 to 7 lobes, cut deep'],
      ['cup', 'nut large', 'nut small and round'],
      ['site', 'well-drained ground', 'wet ground'],
    ],
  ],
  [
    'velutina',
    'coccinea',
    [
      ['bud', 'hairs all over', 'hairs on the upper half'],
      ['cup', 'scales loose at the rim', 'scales tight and glossy'],
      ['bark', 'inner bark yellow to orange', 'inner bark orange to pink'],
    ],
  ],
  [
    'velutina',
    'ellipsoidalis',
    [
      ['bud', 'large, five-angled, hairs all over', 'small, hardly angled, hairs toward the tip'],
      ['cup', 'scales loose at the rim', 'scales tight'],
    ],
  ],
  [
    'velutina',
    'falcata',
    [
      ['leaf', 'base wedge-shaped or flat, scurfy beneath', 'base rounded like a bell, felted beneath'],
      ['cup', 'half of the nut, scales loose', 'shallow; nut small'],
    ],
  ],
  [
    'velutina',
    'marilandica',
    [
      ['leaf', 'clearly lobed along its sides', 'club- or T-shaped, lobed at the tip only'],
      ['site', 'uplands of many kinds', 'the poorest dry ground'],
    ],
  ],
  [
    'coccinea',
    'palustris',
    [
      ['bud', 'pale hairs on the upper half', 'hairless'],
      ['cup', 'a third to a half of the nut, often rings at its tip', 'shallow saucer; nut small and round'],
      ['site', 'dry ground', 'wet ground'],
    ],
  ],
  [
    'coccinea',
    'ellipsoidalis',
    [
      ['bud', 'clearly five-angled', 'hardly angled'],
      ['cup', 'nut round, often rings at its tip', 'nut often longer than broad, rings faint or none'],
    ],
  ],
  [
    'ellipsoidalis',
    'palustris',
    [
      ['leaf', 'small tufts beneath', 'large tufts beneath'],
      ['cup', 'top-shaped, a third to a half of the nut', 'shallow saucer'],
      ['site', 'dry sand', 'wet ground'],
    ],
  ],
  [
    'falcata',
    'pagoda',
    [
      ['leaf', 'base rounded like a bell; few uneven lobes', 'base a broad wedge; even lobes, straight out'],
      ['bark', 'ridges', 'small flakes like black cherry'],
      ['site', 'dry upland', 'bottomland and moist slopes'],
    ],
  ],
  [
    'falcata',
    'laevis',
    [
      ['leaf', 'felted beneath; stalk long', 'rusty tufts only; stalk short, often twisted'],
      ['bud', 'short', 'long'],
    ],
  ],
  [
    'pagoda',
    'shumardii',
    [
      ['leaf', 'pale felt beneath', 'hairless beneath but for tufts'],
      ['bud', 'reddish brown, finely hairy', 'gray or straw-coloured, hairless'],
    ],
  ],
  [
    'palustris',
    'texana',
    [
      ['cup', 'shallow saucer; nut round', 'deep, with a neck; nut longer than broad'],
      ['bud', 'chestnut brown', 'gray to grayish brown'],
    ],
  ],
  [
    'palustris',
    'shumardii',
    [
      ['bud', 'small, chestnut brown', 'larger, gray or straw-coloured, angled'],
      ['cup', 'nut small', 'nut large'],
    ],
  ],
  [
    'texana',
    'shumardii',
    [
      ['cup', 'deep, with a neck', 'shallow, no neck'],
      ['leaf', 'lobes narrow to the end', 'lobes widen to the end'],
    ],
  ],
  [
    'shumardii',
    'buckleyi',
    [
      ['leaf', 'large, clear tufts beneath', 'small, tufts minute or none'],
      ['cup', 'a quarter to a third of a large nut', 'a third to a half of the nut'],
      ['site', 'moist slopes and bottoms', 'dry limestone of central Texas'],
    ],
  ],
  [
    'phellos',
    'imbricaria',
    [['leaf', 'narrow, hairless or nearly beneath', 'broader, soft with short hairs beneath']],
  ],
  [
    'phellos',
    'nigra',
    [
      ['leaf', 'widest about the middle', 'widest near the tip'],
      ['bud', 'hairless', 'hairy'],
    ],
  ],
  ['phellos', 'laurifolia', [['leaf', 'narrow, shed in autumn', 'broader, stays far into winter']]],
  [
    'phellos',
    'hemisphaerica',
    [
      ['leaf', 'thin, shed in autumn', 'leathery, stays far into winter'],
      ['site', 'low ground', 'sandy ground, often dry'],
    ],
  ],
  [
    'phellos',
    'incana',
    [
      ['leaf', 'green and hairless or nearly beneath', 'dense pale felt beneath'],
      ['site', 'low ground', 'dry sand'],
    ],
  ],
  [
    'nigra',
    'laurifolia',
    [
      ['leaf', 'widest near the tip, often three shallow lobes', 'widest near the middle, seldom lobed'],
      ['bud', 'hairy', 'hairless or nearly'],
    ],
  ],
  [
    'nigra',
    'arkansana',
    [
      ['leaf', 'wedge-shaped, narrow below', 'broad for its length'],
      ['bark', 'smooth for long', 'black, rough, deeply ridged'],
    ],
  ],
  [
    'nigra',
    'georgiana',
    [
      ['leaf', 'three rounded lobes at the tip or none', '3 to 5 short pointed lobes'],
      ['site', 'mostly lowland', 'granite outcrops'],
    ],
  ],
  [
    'marilandica',
    'arkansana',
    [
      [
        'leaf',
        'leathery, brownish hairs beneath, base rounded',
        'thinner, few hairs beneath, base wedge-shaped',
      ],
    ],
  ],
  [
    'marilandica',
    'ilicifolia',
    [
      ['leaf', 'large, brownish hairs beneath', 'small, white or gray felt beneath'],
      ['bud', 'large, angled, rusty hairs', 'small, blunt'],
    ],
  ],
  [
    'laurifolia',
    'hemisphaerica',
    [
      ['leaf', 'tip blunt, base wedge-shaped', 'tip pointed, base rounded'],
      ['site', 'wet ground', 'sandy, mostly drier ground'],
    ],
  ],
  [
    'hemisphaerica',
    'myrtifolia',
    [
      ['leaf', 'longer, narrow; edge hardly rolled', 'small, edge rolled under'],
      ['bark', 'a tree', 'a shrub or small tree of the coast'],
    ],
  ],
  // Live oaks.
  [
    'virginiana',
    'geminata',
    [
      ['leaf', 'edge flat or hardly rolled; veins not sunk above', 'edge strongly rolled; veins sunk above'],
      ['site', 'many soils, also low ground', 'deep sand'],
    ],
  ],
  [
    'virginiana',
    'minima',
    [
      ['twig', 'a tree', 'a knee-high shrub'],
      ['leaf', 'mostly untoothed', 'lower leaves with sharp teeth'],
    ],
  ],
  [
    'geminata',
    'minima',
    [
      ['leaf', 'edge strongly rolled under', 'edge flat; lower leaves with sharp teeth'],
      ['twig', 'a tree or tall shrub', 'a knee-high shrub'],
    ],
  ],
];

/** One oak that another is taken for, and what to look at: of this one and of the other. */
export interface LookAlike {
  /** Index into OAKS. */
  readonly species: number;
  readonly tells: ReadonlyArray<{ readonly part: KeyPart; readonly own: string; readonly other: string }>;
}

/** The oaks of its section that a species is most easily taken for in eastern North America. */
export function lookAlikes(species: number): LookAlike[] {
  const own = OAKS[species]?.name.slice('Quercus '.length) ?? '';
  return LOOK_ALIKES.flatMap(([a, b, tells]): LookAlike[] => {
    if (own !== a && own !== b) return [];
    const other = own === a ? b : a;
    return [
      {
        species: OAKS.findIndex((o) => o.name === `Quercus ${other}`),
        tells: tells.map(([part, first, second]) => ({
          part,
          own: own === a ? first : second,
          other: own === a ? second : first,
        })),
      },
    ];
  });
}
