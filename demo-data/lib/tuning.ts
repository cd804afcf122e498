/** What can be tuned in the demo's planned trees. */

export const PLANTING_1 = 'figment-white-oak';
export const PLANTING_2 = 'notional-chestnut-oak';
/** Planting 1: white oak in this zone; planting 2: chestnut oak in that one. */
export const HOME_1 = 'Z5';
export const HOME_2 = 'Z6';
/** Zones that count for planting 1: home and those that share an edge with it. */
export const COUNTED_1 = ['Z5', 'Z2', 'Z4', 'Z6', 'Z7', 'Z8'];
export const SPECIES_1 = 'Quercus alba';
export const SPECIES_2 = 'Quercus montana';

/** Elevation range of the two sites, metres. */
export const SITE_1 = [520, 590] as const;
export const SITE_2 = [580, 650] as const;
/** Elevation limit of both plantings, and what planned trees keep to. */
export const ELEVATION = 150;
export const SAFE_ELEVATION = 105;

/** Stars: one heavy tree, and so many somewhat lighter ones around it, too near to it but not to one another. */
export const STARS = [3, 3, 2, 2, 2];
export const STAR_RADIUS = 384;
export const STAR_APART = 2600;
/** Planned trees of a planting lie within so many metres of its site, east-west and north-south. */
export const REACH_1 = 15_000;
export const REACH_2 = 12_000;
export const HEAVY = { form: 4, crown: 4, crop: 4 } as const;
export const ARM = { form: 4, crown: 4, crop: 3 } as const;
/** No other natural tree in the woods, at an edge or in an old field scores a higher sum: that makes the stars matter. */
export const FAIR = { form: 3, crown: 2, crop: 2 } as const;
export const MIDDLING = { form: 2, crown: 2, crop: 2 } as const;
/** Share of the total by which the best choice of ten beats "heaviest first" there. */
export const GREEDY_LOSS = 0.05;
/** Match that a place must about reach to hold a star, a plain planned tree, the tree across the corner. */
export const STAR_MATCH = 0.6;
export const PLAIN_MATCH = 0.3;
export const CORNER_MATCH = 0.15;

/** Quarter mile, metres, and the pairs on either side of it. */
export const SPACING = 402.336;
export const PAIR_NEAR = 401;
export const PAIR_FAR = 403;
/** Trees of a grove, within so many metres of its middle. */
export const GROVE = 14;
export const GROVE_RADIUS = 165;
/** Planting 2: single trees that can be had in the home zone. */
export const SINGLES_2 = 5;

/** Half side of the square of cells without a value, metres. */
export const HOLE_HALF = { elevation: 105, precipitation: 720 } as const;
