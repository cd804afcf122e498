/**
 * What a person with a hand lens can check of each oak.
 *
 * Source: Flora of North America vol. 3 (1997), Quercus, from memory and in our words; only characters that are usual for the
 * species. Leaves of the crown in sun, full grown, unless a line says otherwise: shade leaves, sprouts and hybrids differ. It is
 * no key: check with a regional key.
 */
import { OAKS } from './species.ts';

/** What is looked at, in the order in which it is shown. */
export const PARTS = ['leaf', 'twig', 'bud', 'cup', 'bark', 'site'] as const;
export type KeyPart = (typeof PARTS)[number];

export const PART_TITLES: Readonly<Record<KeyPart, string>> = {
  leaf: 'Leaf',
  twig: 'Twig',
  bud: 'End bud',
  cup: 'Acorn and cup',
  bark: 'Bark',
  site: 'Where it grows',
};

export const KEY_SOURCE =
  'After Flora of North America vol. 3 (1997), from memory: check with a regional key.';

/** A part is absent where nothing is sure enough to be said in a line. */
export type KeyCharacters = Readonly<Partial<Record<KeyPart, string>>>;

/** By epithet. */
const CHARACTERS: Readonly<Record<string, KeyCharacters>> = {
  alba: {
    leaf: 'Rounded lobes without bristles; base tapers; underside pale, hairless when full grown',
    bud: 'Small, round-tipped, reddish brown, hairless',
    cup: 'Covers about a quarter of the nut; scales warty, pressed together',
    bark: 'Light gray, scaly, often in loose plates',
    site: 'Deep, well-drained upland soil, moist to fairly dry',
  },
  bicolor: {
    leaf: 'Shallow lobes or coarse wavy teeth; underside pale and velvety to the touch',
    twig: 'Bark of young branches peels in ragged curls',
    bud: 'Small, round, brown, hairless',
    cup: 'On a stalk longer than the leaf stalk, often in pairs',
    site: 'Swamps, floodplains and other poorly drained ground',
  },
  macrocarpa: {
    leaf: 'One deep pair of notches near the middle, the upper half broad; underside pale with minute hairs',
    twig: 'Often with corky ridges',
    cup: 'Large, covers half of the nut or more; rim fringed with soft, thread-like scales',
    bark: 'Dark gray, deeply furrowed, thick',
    site: 'Floodplains, prairies and dry slopes, often on limestone',
  },
  lyrata: {
    leaf: 'Deep, uneven, rounded lobes, the lowest narrow; base tapers',
    bud: 'Small, round, gray with fine hairs',
    cup: 'Closes over nearly the whole nut',
    bark: 'Light gray, in plates and scales',
    site: 'Ground that is under water for part of the year',
  },
  michauxii: {
    leaf: 'Even rounded teeth; underside velvety to the touch, with upright hairs',
    cup: 'Thick, covers about half of a large nut; scales free of one another to their base',
    bark: 'Light gray to brown, scaly',
    site: 'Bottomland and rich moist woods',
  },
  montana: {
    leaf: 'Even rounded teeth; underside not velvety: minute flat star-shaped hairs',
    bud: 'Long and pointed, brown',
    cup: 'Thin; scales grown together side by side, in rings',
    bark: 'Dark and hard, in broad ridges between deep V-shaped furrows; not scaly',
    site: 'Dry, often rocky ridges and slopes',
  },
  muehlenbergii: {
    leaf: 'Even teeth, each with a small hard tip, at the ends of straight veins; underside with minute flat star-shaped hairs',
    bud: 'Small, brown',
    cup: 'Thin; nut small',
    bark: 'Light gray, thin, flaky',
    site: 'Well-drained ground, mostly on limestone',
  },
  stellata: {
    leaf: 'Often cross-shaped: the two middle lobes large and square; thick, rough above, star-shaped hairs beneath',
    twig: 'Stays covered with yellowish star-shaped hairs',
    cup: 'Scales pressed together, gray with fine hairs; nut small',
    bark: 'Light gray, scaly',
    site: 'Dry, poor ground: ridges, sand, gravel and clay',
  },
  virginiana: {
    leaf: 'Evergreen, leathery, mostly untoothed; edge flat or hardly rolled; underside whitish with tight minute hairs',
    bud: 'Very small, brown, hairless',
    cup: 'On a stalk, often several together',
    bark: 'Dark, furrowed, scaly',
    site: 'Open woods and hammocks of the coastal plain, also low ground',
  },
  rubra: {
    leaf: '7 to 11 bristle-tipped lobes, cut about half way or less; dull above; hairless beneath but for small tufts in the vein angles',
    bud: 'Pointed, reddish brown, hairless or with reddish hairs at the tip',
    cup: 'Shallow, covers a quarter to a third of the nut; scales tight',
    bark: 'Long flat shining ridges between shallow furrows; inner bark pinkish',
    site: 'Moist slopes and well-drained uplands',
  },
  velutina: {
    leaf: 'Bristle-tipped lobes of varying depth; glossy above; tan tufts in the vein angles, often scurfy beneath',
    bud: 'Large, five-angled, covered with gray or tawny hairs',
    cup: 'Covers about half of the nut; scale tips loose, a fringe at the rim',
    bark: 'Nearly black, rough, in blocks; inner bark yellow to orange',
    site: 'Dry upland slopes and ridges, sandy ground',
  },
  coccinea: {
    leaf: 'Cut well over half way, the notches round; glossy; hairless beneath but for small tufts',
    bud: 'Five-angled, silvery or tawny hairs on the upper half',
    cup: 'Covers a third to a half; scales tight and glossy; often fine rings about the tip of the nut',
    bark: 'Dark, in irregular ridges; inner bark orange to pink',
    site: 'Dry upland slopes and poor soil',
  },
  falcata: {
    leaf: 'Base rounded like a bell; end lobe often long and sickle-shaped; underside with gray or tan felt',
    bud: 'Reddish brown, finely hairy all over',
    cup: 'Shallow; nut small',
    bark: 'Dark, in narrow scaly ridges; inner bark orange',
    site: 'Dry or sandy uplands',
  },
  pagoda: {
    leaf: '5 to 11 rather even lobes that stand nearly straight out; base broad wedge; underside with pale felt',
    bud: 'Five-angled, reddish brown, finely hairy',
    cup: 'Shallow; nut small',
    bark: 'Nearly black, flaky in small plates like an old black cherry',
    site: 'Bottomland and moist slopes',
  },
  palustris: {
    leaf: '5 to 7 lobes, cut deep, the notches wide; hairless beneath but for large tufts in the vein angles',
    bud: 'Small, chestnut brown, hairless',
    cup: 'Thin shallow saucer; nut small and round',
    bark: 'Smooth for long, later shallow furrows; lower branches hang',
    site: 'Bottomland and poorly drained clay',
  },
  phellos: {
    leaf: 'Narrow like a willow leaf, unlobed, one bristle at the tip; widest about the middle',
    bud: 'Small, pointed, chestnut brown, hairless',
    cup: 'Thin shallow saucer; nut small',
    bark: 'Smooth gray for long, later shallow furrows',
    site: 'Floodplains and other low ground',
  },
  nigra: {
    leaf: 'Widest near the tip, wedge-shaped below; three shallow lobes there or none',
    bud: 'Reddish brown, hairy',
    cup: 'Thin shallow saucer; nut small',
    bark: 'Gray to black, smooth for long, later scaly ridges',
    site: 'Moist lowland, also upland and disturbed ground',
  },
  texana: {
    leaf: '6 to 11 narrow lobes, cut deep; hairless beneath but for tufts in the vein angles',
    bud: 'Gray to grayish brown, hairless or nearly',
    cup: 'Deep, its base drawn into a short neck; nut longer than broad, often striped',
    bark: 'Dark, in flat ridges',
    site: 'Floodplains and bottomland of the lower Mississippi and its neighbours',
  },
  shumardii: {
    leaf: '5 to 9 lobes that widen toward many-bristled ends; hairless beneath but for clear tufts in the vein angles',
    bud: 'Gray or straw-coloured, angled, hairless',
    cup: 'Shallow, covers a quarter to a third of a large nut',
    bark: 'Gray to dark brown, in ridges; inner bark pinkish',
    site: 'Moist slopes, stream banks and bottoms, often on limestone',
  },
  imbricaria: {
    leaf: 'Oblong, unlobed, one bristle at the tip; underside soft with even short hairs',
    bud: 'Brown, often angled, scales with hairy edges',
    cup: 'Covers a third to a half of a small round nut',
    bark: 'Grayish brown, shallow furrows',
    site: 'Moist to fairly dry slopes, stream sides, fields',
  },
  ilicifolia: {
    leaf: 'Small, mostly 5 short lobes; underside with white or gray felt',
    bud: 'Small, blunt, reddish brown',
    cup: 'Covers a quarter to a half of a small nut',
    bark: 'Dark gray, smooth; a shrub or small tree',
    site: 'Dry sand and open rocky ground',
  },
  ellipsoidalis: {
    leaf: '5 to 7 lobes, cut well over half way; hairless beneath but for small tufts',
    bud: 'Reddish brown, hardly angled, hairs toward the tip',
    cup: 'Top-shaped, covers a third to a half; nut often longer than broad',
    bark: 'Dark grayish brown, shallow furrows; inner bark yellowish to orange',
    site: 'Dry sandy uplands about the western Great Lakes',
  },
  acutissima: {
    leaf: 'Oblong like a chestnut leaf: straight parallel veins that run out into bristles; unlobed',
    cup: 'Covered with long, loose, curling scales',
    bark: 'Gray, deeply furrowed',
    site: 'From eastern Asia: planted for wildlife and shade, and sown from there',
  },
  marilandica: {
    leaf: 'Broad and leathery, club- or T-shaped, three shallow lobes at the tip; brownish hairs beneath',
    bud: 'Large, angled, rusty or tawny hairs',
    cup: 'Covers about half of the nut; scales loose',
    bark: 'Nearly black, broken into small blocks; inner bark orange',
    site: 'Dry, poor ground: sand, clay and ridges',
  },
  laurifolia: {
    leaf: 'Stays far into winter; widest at or above the middle, often diamond-shaped; tip blunt, base wedge-shaped',
    bud: 'Small, reddish brown',
    cup: 'Thin shallow saucer',
    bark: 'Dark, in flat ridges on old trees',
    site: 'Wet bottomland and swamps',
  },
  hemisphaerica: {
    leaf: 'Stays far into winter; narrow, tip pointed with a bristle, base rounded; hairless beneath',
    bud: 'Small, pointed, reddish brown',
    cup: 'Thin shallow saucer',
    bark: 'Dark gray, smooth for long',
    site: 'Dry to moist sandy ground',
  },
  incana: {
    leaf: 'Narrow, unlobed, ashy or bluish green; underside with dense pale felt',
    bud: 'Reddish brown, angled',
    cup: 'Shallow; nut small',
    bark: 'Dark, broken into blocks; a small tree',
    site: 'Sandhills and dry pinelands',
  },
  laevis: {
    leaf: '3 to 7 narrow spreading lobes like a bird’s foot; stalk short, often twisted; rusty tufts in the vein angles',
    bud: 'Long, rusty or tawny hairs',
    cup: 'Scales roll in over the rim',
    bark: 'Gray, deeply furrowed; inner bark orange to reddish; a small tree',
    site: 'Sandhills and dry barrens',
  },
  buckleyi: {
    leaf: '5 to 9 lobes, cut deep, smaller than those of Shumard oak; hairless or nearly beneath',
    cup: 'Covers a third to a half of the nut',
    bark: 'Gray, smooth, later dark and furrowed; a small, often many-stemmed tree',
    site: 'Limestone slopes of central Texas and southern Oklahoma',
  },
  georgiana: {
    leaf: 'Small, 3 to 5 short pointed bristle-tipped lobes, base wedge-shaped; hairless beneath but for tufts',
    cup: 'Thin shallow saucer',
    bark: 'Gray to light brown; a shrub or small tree',
    site: 'Granite outcrops and dry slopes of the southern Piedmont',
  },
  arkansana: {
    leaf: 'Broad toward the tip, wedge-shaped below; two or three shallow lobes or none',
    cup: 'Shallow',
    bark: 'Black, in rough deep ridges',
    site: 'Sandy slopes and heads of ravines of the Gulf coastal plain; rare',
  },
  myrtifolia: {
    leaf: 'Evergreen, small, leathery, untoothed; edge rolled under; hairless but for tufts in the vein angles',
    cup: 'Shallow; nut small and round',
    bark: 'Gray, smooth; a shrub or small tree',
    site: 'Coastal dunes and sand scrub',
  },
  prinoides: {
    leaf: 'Small, few short teeth a side; underside with minute flat star-shaped hairs',
    twig: 'A shrub that spreads from its roots, seldom a small tree',
    cup: 'Thin; nut small',
    site: 'Dry, open, sandy, shaly or rocky ground',
  },
  margarettae: {
    leaf: 'Small, rounded lobes, less cross-shaped than post oak',
    twig: 'Hairless or nearly so from the first year',
    bark: 'Gray, scaly; a shrub or small tree',
    site: 'Deep sand',
  },
  similis: {
    leaf: 'Rounded lobes, not cross-shaped; longer and narrower than post oak',
    bark: 'Light gray, scaly',
    site: 'Wet bottomland of the Gulf coastal plain',
  },
  sinuata: {
    leaf: 'Narrow, wavy or with shallow rounded lobes toward the tip; underside silvery with minute flat hairs',
    cup: 'Very shallow saucer, covers at most a quarter of the nut',
    bark: 'Gray, flaky',
    site: 'River bottoms and bluffs, mostly on limestone',
  },
  austrina: {
    leaf: 'Irregular, rather shallow rounded lobes; green and hairless or nearly beneath',
    cup: 'Covers a third to a half of the nut',
    bark: 'Pale gray, scaly',
    site: 'Rich slopes and bluffs above southern rivers',
  },
  oglethorpensis: {
    leaf: 'Narrow, unlobed, no bristle at the tip; underside yellowish green and velvety',
    cup: 'Thin; nut small',
    bark: 'Light gray, scaly',
    site: 'Heavy wet clay of the southern Piedmont, rare elsewhere',
  },
  chapmanii: {
    leaf: 'Small, leathery, glossy; untoothed or shallowly wavy toward the tip',
    cup: 'Deep, nearly without a stalk',
    bark: 'Gray to brown, flaky; a shrub or small tree',
    site: 'Sand scrub of the southeastern coast',
  },
  geminata: {
    leaf: 'Evergreen; edge strongly rolled under, like a boat turned over; veins sunk above; dense hairs beneath',
    cup: 'Often in pairs on one stalk',
    bark: 'Dark, furrowed',
    site: 'Deep sand, scrub and dunes',
  },
  minima: {
    leaf: 'Evergreen; lower leaves broad with sharp teeth, upper ones mostly untoothed',
    twig: 'A knee-high shrub that spreads under ground',
    site: 'Open pinelands and prairies on sand',
  },
  robur: {
    leaf: 'Rounded lobes; two small ear-shaped lobes at the base; leaf stalk very short',
    bud: 'Blunt, brown',
    cup: 'On a long thin stalk, often several together',
    bark: 'Gray, deeply furrowed',
    site: 'From Europe: planted in parks and yards, and sown from there',
  },
};

/** Characters of an oak by its index into OAKS; null where it is none of them. */
export const keyCharacters = (species: number): KeyCharacters | null =>
  CHARACTERS[OAKS[species]?.name.slice('Quercus '.length) ?? ''] ?? null;
