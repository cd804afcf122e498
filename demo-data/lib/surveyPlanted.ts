/** Planted trees that do not look it: some tell by their place or by their pattern alone, some by nothing at all. */
import { heading, step } from './bearing.ts';
import { unit } from './buildings.ts';
import type { Local } from './frame.ts';
import { isWild } from './search.ts';
import { NOW, type Surveyor } from './surveyor.ts';
import { BLOCK, inTown } from './towns.ts';
import { SAFE_ELEVATION, SPECIES_1 } from './tuning.ts';

export function makeSurveyPlanted(s: Surveyor): void {
  yardsByTheWoods(s);
  townYards(s);
  memorials(s);
  parks(s);
  campus(s);
  plantation(s);
  windbreak(s);
  laneRow(s);
  restoration(s);
  loneInTheWoods(s);
}

const open = (s: Surveyor, p: Local): boolean => [52, 71, 81, 82].includes(s.g.coverAt(p));

/** Houses at the edge of the woods: forest on all sides but one. */
function yardsByTheWoods(s: Surveyor): void {
  const homes = s.g.farmsteads.filter((f) => s.g.shares(f.house, 100).forest > 0.45 && s.free(80)(f.house));
  for (let k = 0; k < 12; k++) {
    const f = homes[Math.floor((k * homes.length) / 12)];
    const years = Math.min(s.r.between(30, 120), NOW - f.built);
    for (let tree = 0; tree < 2; tree++)
      s.note(step(f.house, heading(s.r), s.r.between(12, 42), 0), 'yard by the woods', years);
  }
}

function townYards(s: Surveyor): void {
  for (const town of s.g.towns)
    for (let k = 0; k < 2; k++) {
      const [i, j] = [s.r.int(-town.half, town.half - 1), s.r.int(-town.half, town.half - 1)];
      const place = inTown(
        town,
        (i + 0.5) * BLOCK + s.r.between(-34, 34),
        (j + 0.5) * BLOCK + s.r.between(-34, 34),
      );
      s.note(place, 'town yard', s.r.between(25, 90));
    }
}

function memorials(s: Surveyor): void {
  for (const ground of s.g.settings.filter((t) => t.setting === 'burial ground')) {
    const most = NOW - Number(ground.since);
    const place = step(ground.centre, ground.along, s.r.between(-28, 28), s.r.between(-20, 20));
    s.note(place, 'memorial', s.r.between(25, Math.min(150, most)));
  }
}

function parks(s: Surveyor): void {
  for (const park of s.g.settings.filter((t) => t.setting === 'park'))
    for (let k = 0; k < 3; k++) {
      const place = step(park.centre, park.along, s.r.between(-100, 100), s.r.between(-65, 65));
      const years = s.r.between(20, Math.min(120, NOW - Number(park.since)));
      const tree = s.note(place, 'park planting', years);
      if (k === 0) s.list(tree, 'park', Math.round(NOW - years));
    }
}

/** Listed by the college, with the year of planting. */
function campus(s: Surveyor): void {
  for (const ground of s.g.settings.filter((t) => t.setting === 'campus'))
    for (let k = 0; k < 6; k++) {
      const place = step(ground.centre, ground.along, s.r.between(-150, 60), s.r.between(-130, 130));
      const years = s.r.between(15, NOW - Number(ground.since));
      s.list(s.note(place, 'campus tree', years), 'campus', Math.round(NOW - years));
    }
}

/** Rows of one age in the woods, 8 m apart, some dead: no map shows it. */
function plantation(s: Surveyor): void {
  const { g } = s;
  const [a, b] = heading(s.r);
  const spot = s.find('plantation', [
    s.free(450),
    (p) => isWild(g, p),
    (p) => Math.abs(g.elevation(p) - 500) < SAFE_ELEVATION,
    (p) => g.shares(p, 200).forest > 0.95,
  ]);
  for (let i = 0; i < 7; i++)
    for (let j = 0; j < 5; j++) {
      const off = (): number => s.r.between(-0.8, 0.8);
      const place = step(spot, [a, b], 8 * (i - 3) + off(), 8 * (j - 2) + off());
      if (s.r.chance(0.13)) continue;
      s.note(place, 'plantation', 62, {
        species: SPECIES_1,
        accuracy: 3,
        dbh: 36 + s.r.int(-3, 3),
        setting: 'woodland',
        regeneration: '',
      });
    }
}

/** Along a field, no road near. */
function windbreak(s: Surveyor): void {
  const { g } = s;
  const way = heading(s.r);
  const fit = (p: Local): boolean => open(s, p) && g.toRoad(p) > 120 && g.toBuilding(p) > 90;
  const from = s.find('windbreak', [
    s.free(300),
    (p) => [0, 50, 100].every((far) => fit(step(p, way, far, 0))),
    (p) => g.shares(p, 150).forest < 0.3,
  ]);
  for (let i = 0; i < 14; i++)
    s.note(step(from, way, 7 * i + s.r.between(-0.6, 0.6), s.r.between(-0.5, 0.5)), 'windbreak', 70, {
      species: SPECIES_1,
      accuracy: 3,
      dbh: 44 + s.r.int(-3, 3),
    });
}

/** On both sides of the lane to a farm. */
function laneRow(s: Surveyor): void {
  const f = s.g.farmsteads.find((t) => {
    const long = (t.gate[0] - t.house[0]) ** 2 + (t.gate[1] - t.house[1]) ** 2;
    return long > 150 ** 2 && t.built < 1920 && s.free(250)(t.house) && s.free(250)(t.gate);
  });
  if (!f) throw new Error('no lane for the row');
  const way = unit(f.gate, f.house);
  for (let i = 0; i < 5; i++)
    for (const side of [-1, 1])
      s.note(step(f.gate, way, 25 + 16 * i, side * (5 + s.r.between(-0.5, 0.5))), 'lane row', 85, {
        species: SPECIES_1,
        accuracy: 3,
        dbh: 52 + s.r.int(-4, 4),
      });
}

/** Scattered on purpose, young, in fields that were left: nothing tells them from seedlings of the wind. */
function restoration(s: Surveyor): void {
  const fields = s.g.settings.filter((t) => t.setting === 'old field' && s.free(1)(t.centre));
  for (let k = 0; k < 8; k++) {
    const field = fields[k % fields.length];
    const place = s.find('restoration', [s.free(12)], { at: field.centre, metres: 45 });
    s.note(place, 'restoration', s.r.between(16, 34), { species: 'Quercus rubra' });
  }
}

function loneInTheWoods(s: Surveyor): void {
  for (let k = 0; k < 6; k++) {
    const place = s.find('lone tree', [s.free(500), (p) => isWild(s.g, p)]);
    s.note(place, 'lone in the woods', s.r.between(20, 45), { setting: k % 2 ? 'woodland' : '', crop: 0 });
  }
}
