/** Natural trees that stand where planted ones do: older than what was built about them, or seeded in beside it. */
import { heading, step } from './bearing.ts';
import type { Local } from './frame.ts';
import { NOW, type Surveyor } from './surveyor.ts';
import { BLOCK, blockYear, inTown } from './towns.ts';

export function makeSurveyNatural(s: Surveyor): void {
  yardRemnants(s);
  parkRemnants(s);
  vergeRemnants(s);
  lotRemnants(s);
  fenceRows(s);
  roadEdges(s);
  groves(s);
  youngOnes(s);
}

/** Houses of the last two generations under oaks of the farm before them. */
function yardRemnants(s: Surveyor): void {
  const homes = s.g.farmsteads.filter((f) => f.built > 1945 && s.free(80)(f.house));
  for (let k = 0; k < 22; k++) {
    const f = homes[Math.floor((k * homes.length) / 22)];
    const place = step(f.house, heading(s.r), s.r.between(10, 38), 0);
    s.note(place, 'yard remnant', NOW - f.built + s.r.between(45, 150));
  }
}

function parkRemnants(s: Surveyor): void {
  for (const park of s.g.settings.filter((t) => t.setting === 'park'))
    for (let k = 0; k < 2; k++) {
      const place = step(park.centre, park.along, s.r.between(-100, 100), s.r.between(-65, 65));
      const tree = s.note(place, 'park remnant', NOW - Number(park.since) + s.r.between(30, 120));
      if (k === 0) s.list(tree, 'park', null);
    }
}

/** In the verges of the outer streets; the town lists them, and knows no year of planting. */
function vergeRemnants(s: Surveyor): void {
  const verges = s.g.settings.filter((t) => t.setting === 'street verge');
  for (let k = 0; k < 10; k++) {
    const verge = verges[Math.floor(((k + 0.5) * verges.length) / 10)];
    // Between the places of the planted ones, which are 15 m apart from -38 m.
    const place = step(verge.centre, verge.along, 15 * s.r.int(-2, 2) - 0.5, s.r.between(-1, 1));
    s.list(s.note(place, 'verge remnant', s.r.between(150, 240)), 'street verge', null);
  }
}

/** Behind the last houses, at the edge of the woods or the fields. */
function lotRemnants(s: Surveyor): void {
  for (let k = 0; k < 10; k++) {
    const town = s.g.towns[k % s.g.towns.length];
    const side = s.r.pick([-1, 1]);
    const j = s.r.int(-town.half, town.half - 1);
    const out = side * (town.half * BLOCK + s.r.between(28, 60));
    const place = inTown(town, out, (j + 0.5) * BLOCK + s.r.between(-40, 40));
    const year = blockYear(town, side > 0 ? town.half - 1 : -town.half, j);
    s.note(place, 'lot remnant', NOW - year + s.r.between(20, 110));
  }
}

/** Uneven steps and sizes along a fence: one by a road, where it looks like a row that was set; two between fields. */
function fenceRows(s: Surveyor): void {
  const { g, r } = s;
  const open = (p: Local): boolean => [52, 71, 81, 82].includes(g.coverAt(p));
  const put = (from: Local, way: Local, left: number): void => {
    let far = 0;
    for (let i = 0; i < 7; i++) {
      s.note(step(from, way, far, left + r.between(-1.8, 1.8)), 'fence row', r.between(25, 170));
      far += r.between(7, 34);
    }
  };
  for (let k = 0; k < 2; k++) {
    const way = heading(r);
    const tests = [0, 50, 100, 150].map((far) => (p: Local) => open(step(p, way, far, 0)));
    put(
      s.find('fence row', [s.free(350), (p) => g.toRoad(p) > 60 && g.toBuilding(p) > 100, ...tests]),
      way,
      0,
    );
  }
  const stretches = g.roads
    .filter((x) => ['tertiary', 'unclassified'].includes(x.highway))
    .flatMap((x) => x.line.slice(1).map((to, k) => ({ from: x.line[k], to })))
    .filter(({ from, to }) => {
      const d2 = (to[0] - from[0]) ** 2 + (to[1] - from[1]) ** 2;
      return (
        d2 > 190 ** 2 && s.free(300)(from) && g.shares(from, 120).forest < 0.3 && g.toBuilding(from) > 150
      );
    });
  const road = stretches[Math.floor(stretches.length / 2)];
  if (!road) throw new Error('no road for the fence row');
  const d = Math.sqrt((road.to[0] - road.from[0]) ** 2 + (road.to[1] - road.from[1]) ** 2);
  put(road.from, [(road.to[0] - road.from[0]) / d, (road.to[1] - road.from[1]) / d], 11);
}

/** Single trees where a small road goes through woods. */
function roadEdges(s: Surveyor): void {
  const { g, r } = s;
  const spots = g.roads
    .filter((x) => ['tertiary', 'unclassified'].includes(x.highway))
    .flatMap((x) => x.line.slice(1).map((to, k) => ({ from: x.line[k], to })))
    .filter(({ from }) => g.shares(from, 110).forest > 0.55 && g.toBuilding(from) > 130 && s.free(150)(from));
  for (let k = 0; k < 16; k++) {
    const { from, to } = spots[Math.floor((k * spots.length) / 16)];
    const d = Math.sqrt((to[0] - from[0]) ** 2 + (to[1] - from[1]) ** 2);
    const way: Local = [(to[0] - from[0]) / d, (to[1] - from[1]) / d];
    s.note(step(from, way, 0.5 * d, r.between(4, 10) * r.pick([-1, 1])), 'road edge', r.between(45, 150));
  }
}

/** Old trees with their offspring about them, in sight of a house. */
function groves(s: Surveyor): void {
  const { g, r } = s;
  for (const species of ['Quercus rubra', 'Quercus velutina']) {
    const spot = s.find(`grove of ${species}`, [
      s.free(400),
      (p) => [41, 43, 52, 71].includes(g.coverAt(p)),
      (p) => g.toBuilding(p) > 75 && g.toBuilding(p) < 150,
      (p) => g.shares(p, 100).forest > 0.35,
      (p) => g.toRoad(p) > 40,
    ]);
    for (let parent = 0; parent < 4; parent++) {
      const place = s.find('parent tree', [s.free(6)], { at: spot, metres: 55 });
      s.note(place, 'grove', r.between(110, 190), { species, accuracy: 3 });
      for (let child = 0; child < 2; child++) {
        const at = s.find('offspring', [s.free(5.5)], { at: place, metres: 11 });
        s.note(at, 'grove', r.between(20, 70), { species, accuracy: 3 });
      }
    }
  }
}

/** Not long since jays and squirrels could plant there: in old fields, and in pastures near houses. */
function youngOnes(s: Surveyor): void {
  const { g, r } = s;
  const fields = g.settings.filter((t) => t.setting === 'old field' && s.free(1)(t.centre));
  for (let k = 0; k < 8; k++) {
    const field = fields[(5 * k + 2) % fields.length];
    const place = s.find('young tree', [s.free(12)], { at: field.centre, metres: 45 });
    s.note(place, 'young old field', r.between(16, 40), { species: 'Quercus rubra' });
  }
  for (let k = 0; k < 8; k++) {
    const place = s.find('young tree near a house', [
      s.free(150),
      (p) => [52, 71, 81].includes(g.coverAt(p)),
      (p) => g.toBuilding(p) > 45 && g.toBuilding(p) < 120,
      (p) => g.shares(p, 100).forest > 0.15 && g.shares(p, 100).forest < 0.7,
    ]);
    s.note(place, 'young old field', r.between(15, 40));
  }
}
