/** The trees that the two plantings need, and the traps. */
import { makeBench } from './bench.ts';
import type { Local } from './frame.ts';
import type { Ground } from './ground.ts';
import { makeDuplicates, makeNaturalTraps, makeOutside, makeStars, makeTooFew } from './natural.ts';
import type { Near } from './near.ts';
import type { Tree } from './notebook.ts';
import { makePlantedTrees } from './people.ts';
import type { Trap } from './traps.ts';

export interface Planned {
  readonly trees: readonly Tree[];
  readonly traps: readonly Trap[];
  readonly sites: { readonly one: Local; readonly two: Local };
  /** Ordinary trees keep away from these places, so that the traps stay what they are. */
  readonly kept: Near;
  /** Middles of the squares of elevation and precipitation cells that get no value. */
  readonly holes: { readonly elevation: Local; readonly precipitation: Local };
}

export function makePlanned(g: Ground): Planned {
  const b = makeBench(g);
  const stars = makeStars(b);
  const holes = makeNaturalTraps(b);
  makeTooFew(b);
  makeOutside(b);
  makePlantedTrees(b);
  makeDuplicates(b, stars[1]);
  return { trees: b.trees, traps: b.traps, sites: { one: b.one, two: b.two }, kept: b.kept, holes };
}
