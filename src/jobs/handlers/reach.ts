/** A layer of one county says nothing of the next: farther than this outside its extent nothing is known. */
export const REACH_METRES = 1000;
/** Buildings this near are counted. */
export const NEAR_BUILDINGS_METRES = 100;
