/** Years in which the ground was first built over, as a map of them would have it: towns, campuses, most farmsteads. */
import type { Farmstead } from './buildings.ts';
import { FRAME, cellAt, type Local } from './frame.ts';
import { hash2 } from './rng.ts';
import type { Setting } from './settings.ts';
import { BLOCK, blockYear, inTown, type Town } from './towns.ts';
import { inside } from './zones.ts';

export const NEVER = -32768;
/** Share of farmsteads that such a map finds among the trees about them. */
const FOUND = 0.7;

/** Years at the fine cells, NEVER where nothing was built; the first year stays. */
export function makeDevelopment(
  towns: readonly Town[],
  settings: readonly Setting[],
  farmsteads: readonly Farmstead[],
): Int16Array {
  const years = new Int16Array(FRAME.n * FRAME.n).fill(NEVER);
  const put = (p: Local, year: number): void => {
    const at = cellAt(p[0], p[1]);
    if (at >= 0 && (years[at] === NEVER || years[at] > year)) years[at] = year;
  };
  const step = FRAME.cell / 2;
  for (const town of towns)
    for (let j = -town.half; j < town.half; j++)
      for (let i = -town.half; i < town.half; i++)
        for (let across = step / 2; across < BLOCK; across += step)
          for (let ahead = step / 2; ahead < BLOCK; ahead += step)
            put(inTown(town, i * BLOCK + across, j * BLOCK + ahead), blockYear(town, i, j));
  for (const s of settings)
    if (s.setting === 'campus') {
      const [us, vs] = [s.ring.map((p) => p[0]), s.ring.map((p) => p[1])];
      for (let v = Math.min(...vs); v <= Math.max(...vs); v += step)
        for (let u = Math.min(...us); u <= Math.max(...us); u += step)
          if (inside(s.ring, [u, v])) put([u, v], Number(s.since));
    }
  for (const { house, built } of farmsteads)
    if (hash2(Math.round(house[0]), Math.round(house[1]), 421) < FOUND)
      for (const dv of [-25, 0, 25])
        for (const du of [-25, 0, 25]) put([house[0] + du, house[1] + dv], built);
  return years;
}
