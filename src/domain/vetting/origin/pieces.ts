/** Every piece of evidence, in the order in which they are shown. A new one is added here by hand. */
import { ageBurialGround } from './ageBurialGround.ts';
import { ageDeveloped } from './ageDeveloped.ts';
import { building } from './building.ts';
import { buildings100 } from './buildings100.ts';
import { cover } from './cover.ts';
import { degreeOfEstablishment } from './degreeOfEstablishment.ts';
import { developed100 } from './developed100.ts';
import { developed500 } from './developed500.ts';
import { diameters } from './diameters.ts';
import { establishmentMeans } from './establishmentMeans.ts';
import { inventory } from './inventory.ts';
import { notes } from './notes.ts';
import { pattern } from './pattern.ts';
import type { Piece } from './piece.ts';
import { range } from './range.ts';
import { regeneration } from './regeneration.ts';
import { road } from './road.ts';
import { roadRow } from './roadRow.ts';
import { setting } from './setting.ts';

export const pieces: readonly Piece[] = [
  developed100,
  developed500,
  cover,
  setting,
  building,
  buildings100,
  road,
  roadRow,
  inventory,
  pattern,
  diameters,
  regeneration,
  ageDeveloped,
  ageBurialGround,
  establishmentMeans,
  degreeOfEstablishment,
  notes,
  range,
];

const byId = new Map(pieces.map((p) => [p.id, p]));

/** The piece with this id, undefined for an id that none has. */
export const pieceOf = (id: string): Piece | undefined => byId.get(id);
