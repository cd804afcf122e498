/** An invented street-tree inventory: trees at even steps along the verges of every town, and a few in the parks. */
import type { Local } from './frame.ts';
import { rng } from './rng.ts';
import type { Setting } from './settings.ts';

export interface InventoryTree {
  readonly id: string;
  readonly species: string;
  readonly dbh: number;
  /** null where the list knows no year. */
  readonly planted: number | null;
  readonly place: Local;
  readonly where: string;
}

const STREET_SPECIES = [
  'Acer rubrum',
  'Acer saccharum',
  'Tilia americana',
  'Ulmus americana',
  'Gleditsia triacanthos',
  'Quercus rubra',
  'Quercus alba',
  'Quercus palustris',
  'Quercus macrocarpa',
  'Platanus occidentalis',
];
/** Metres between street trees. */
const STEP = 15;

export function makeInventory(settings: readonly Setting[]): InventoryTree[] {
  const random = rng('inventory');
  const out: InventoryTree[] = [];
  const add = (place: Local, where: string): void => {
    const planted = random.int(1952, 2016);
    out.push({
      id: `INV-${String(out.length + 1).padStart(4, '0')}`,
      species: random.pick(STREET_SPECIES),
      dbh: Math.round((2024 - planted) * random.between(0.6, 1.1) + 6),
      planted,
      place,
      where,
    });
  };
  for (const s of settings) {
    const [a, b] = s.along;
    if (s.setting === 'street verge')
      for (let t = -38; t <= 38; t += STEP) {
        if (random.chance(0.12)) continue;
        add([s.centre[0] + a * t, s.centre[1] + b * t], s.setting);
      }
    if (s.setting === 'park')
      for (let k = 0; k < 9; k++)
        add([s.centre[0] + random.between(-60, 60), s.centre[1] + random.between(-60, 60)], s.setting);
  }
  return out;
}
