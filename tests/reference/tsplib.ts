/**
 * Route instances with published optima. Source: TSPLIB (Reinelt 1991, ORSA Journal on Computing 3:376-384). Coordinates of
 * burma14, ulysses22 and berlin52 as printed there; each is proven by its optimum coming out. Further instances, with the
 * packages that they were read from, in fixtures/routes.json.
 */
import { readFileSync } from 'node:fs';

export interface Instance {
  readonly name: string;
  readonly optimum: number;
  readonly n: number;
  readonly cost: Float64Array;
}

const BURMA14 =
  '16.47 96.10; 16.47 94.44; 20.09 92.54; 22.39 93.37; 25.23 97.24; 22.00 96.05; 20.47 97.02; 17.20 96.29; 16.30 97.38; 14.05 98.12; 16.53 97.38; 21.52 95.59; 19.41 97.13; 20.09 94.55';
const ULYSSES22 =
  '38.24 20.42; 39.57 26.15; 40.56 25.32; 36.26 23.12; 33.48 10.54; 37.56 12.19; 38.42 13.11; 37.52 20.44; 41.23 9.10; 41.17 13.05; 36.08 -5.21; 38.47 15.13; 38.15 15.35; 37.51 15.17; 35.49 14.32; 39.36 19.56; 38.09 24.36; 36.09 23.00; 40.44 13.57; 40.33 14.15; 40.37 14.23; 37.57 22.56';
const BERLIN52 =
  '565 575; 25 185; 345 750; 945 685; 845 655; 880 660; 25 230; 525 1000; 580 1175; 650 1130; 1605 620; 1220 580; 1465 200; 1530 5; 845 680; 725 370; 145 665; 415 635; 510 875; 560 365; 300 465; 520 585; 480 415; 835 625; 975 580; 1215 245; 1320 315; 1250 400; 660 180; 410 250; 420 555; 575 665; 1150 1160; 700 580; 685 595; 685 610; 770 610; 795 645; 720 635; 760 650; 475 960; 95 260; 875 920; 700 500; 555 815; 830 485; 1170 65; 830 610; 605 625; 595 360; 1340 725; 1740 245';

const pairs = (text: string): [number, number][] =>
  text.split('; ').map((p) => p.split(' ').map(Number) as [number, number]);

/** Whole kilometres on the idealised globe; degrees are truncated, not rounded: only so do the published optima come out. */
function geographic(points: [number, number][]): Float64Array {
  const radians = (x: number): number => {
    const degrees = Math.trunc(x);
    return (3.141592 * (degrees + (5 * (x - degrees)) / 3)) / 180;
  };
  const p = points.map(([lat, lon]) => [radians(lat), radians(lon)]);
  return table(p.length, (i, j) => {
    const q1 = Math.cos(p[i][1] - p[j][1]);
    const q2 = Math.cos(p[i][0] - p[j][0]);
    const q3 = Math.cos(p[i][0] + p[j][0]);
    return Math.trunc(6378.388 * Math.acos(0.5 * ((1 + q1) * q2 - (1 - q1) * q3)) + 1);
  });
}

export const euclidean = (p: [number, number][]): Float64Array =>
  table(p.length, (i, j) => Math.floor(Math.hypot(p[i][0] - p[j][0], p[i][1] - p[j][1]) + 0.5));

function table(n: number, distance: (i: number, j: number) => number): Float64Array {
  return Float64Array.from({ length: n * n }, (_, k) =>
    Math.floor(k / n) === k % n ? 0 : distance(Math.floor(k / n), k % n),
  );
}

const instance = (name: string, optimum: number, cost: Float64Array): Instance => ({
  name,
  optimum,
  n: Math.sqrt(cost.length),
  cost,
});

export const burma14 = instance('burma14', 3323, geographic(pairs(BURMA14)));
export const ulysses16 = instance('ulysses16', 6859, geographic(pairs(ULYSSES22).slice(0, 16)));
export const ulysses22 = instance('ulysses22', 7013, geographic(pairs(ULYSSES22)));
export const berlin52 = instance('berlin52', 7542, euclidean(pairs(BERLIN52)));

interface Stored {
  readonly name: string;
  readonly optimum: number;
  readonly triangle?: string;
  readonly points?: string;
}

function stored({ name, optimum, triangle, points }: Stored): Instance {
  if (points !== undefined) {
    const flat = points.split(' ').map(Number);
    const xy = Array.from({ length: flat.length / 2 }, (_, i): [number, number] => [
      flat[2 * i],
      flat[2 * i + 1],
    ]);
    return instance(name, optimum, euclidean(xy));
  }
  const below = (triangle ?? '').split(' ').map(Number);
  const n = (1 + Math.sqrt(1 + 8 * below.length)) / 2;
  const at = (i: number, j: number): number => below[(i * (i - 1)) / 2 + j];
  return instance(
    name,
    optimum,
    table(n, (i, j) => (i > j ? at(i, j) : at(j, i))),
  );
}

const file = JSON.parse(readFileSync(new URL('../fixtures/routes.json', import.meta.url), 'utf8')) as {
  instances: Stored[];
};

/** dantzig42, gr120, moscow68, usca50, wi29, d493. */
export const furtherInstances: readonly Instance[] = file.instances.map(stored);
