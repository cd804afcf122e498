import type { RandomPlaces } from './randomPlaces.ts';

/** Where there is hardly room left a place is taken as it comes. */
const TRIES = 50;

/**
 * Random places one after the other, each drawn anew until it is at least `apart` from those before (simple sequential
 * inhibition, Diggle, Besag & Gleaves 1976, Biometrics 32:659-667): what is left of random trees when records of one species
 * that are nearer than that count as one tree.
 */
export function keptApart(places: RandomPlaces, apart: number): RandomPlaces {
  const px = new Float64Array(1);
  const py = new Float64Array(1);
  const least = apart * apart;
  return (random, x, y) => {
    for (let i = 0; i < x.length; i++) {
      let at = 0;
      for (let tries = 0; tries < TRIES; tries++) {
        places(random, px, py);
        at = placeIn(x, i, px[0]);
        let free = true;
        for (let k = at - 1; free && k >= 0 && px[0] - x[k] < apart; k--)
          free = (px[0] - x[k]) ** 2 + (py[0] - y[k]) ** 2 >= least;
        for (let k = at; free && k < i && x[k] - px[0] < apart; k++)
          free = (px[0] - x[k]) ** 2 + (py[0] - y[k]) ** 2 >= least;
        if (free) break;
      }
      x.copyWithin(at + 1, at, i);
      y.copyWithin(at + 1, at, i);
      x[at] = px[0];
      y[at] = py[0];
    }
  };
}

/** How many of the first `count` numbers, which ascend, are less. */
function placeIn(sorted: Float64Array, count: number, value: number): number {
  let [low, high] = [0, count];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}
