/** Outlines that no one drew by hand: they are opened with a note, and work on them ends. Made here, from a fixed seed. */
import { expect, test } from 'vitest';
import { rng } from '../../src/domain/base/rng.ts';
import { adjacency } from '../../src/domain/layers/adjacency.ts';
import { zonesFrom } from '../../src/domain/layers/zones.ts';
import { mendRings } from '../../src/domain/layers/rings.ts';

type Points = Array<[number, number]>;
const opened = (ring: Points): { notes: string; zones: number } => {
  const areas = [{ geometry: [[[...ring, ring[0]]]], attributes: { zone: 'a' } }];
  const mended = mendRings(areas, 'f.shp', 'zone');
  const zones = zonesFrom(mended.areas, 'zone');
  return {
    notes: mended.notes.map((n) => n.what).join('; '),
    zones: zones.ok ? zones.value.zones.length : 0,
  };
};
const N = 200_000;

test('a ring of 200,000 corners is as good as any', () => {
  const circle = Array.from({ length: N }, (_, i): [number, number] => {
    const t = (2 * Math.PI * i) / N;
    return [-85 + Math.cos(t), 38 + Math.sin(t)];
  });
  expect(opened(circle)).toEqual({ notes: '', zones: 1 });
});

test('a ring of 200,000 corners at random crosses itself, and is left as it is', () => {
  const random = rng(3);
  const tangle = Array.from({ length: N }, (): [number, number] => [-85 + random(), 38 + random()]);
  const { notes, zones } = opened(tangle);
  expect(zones).toBe(1);
  expect(notes).toMatch(/crosses itself near .*left as it is/);
  expect(notes).toMatch(/too tangled to be checked to the last/);
}, 30_000);

test('a comb of 100,000 slanting teeth is not checked to the last, and says so', () => {
  const comb: Points = [];
  for (let i = 0; i < N / 2; i++) {
    const t = i / (N / 2);
    comb.push([-85 + t, 38 + t / 100], [-84 + t, 39 + t / 100]);
  }
  const { notes, zones } = opened([...comb, [-83, 37], [-85, 37]]);
  expect(zones).toBe(1);
  expect(notes).toMatch(/too tangled/);
}, 30_000);

test('two tangles over one another: which touch is not told, and that is said', () => {
  const random = rng(4);
  const tangle = (): Points => {
    const ring = Array.from({ length: 60_000 }, (): [number, number] => [-85 + random(), 38 + random()]);
    return [...ring, ring[0]];
  };
  const zones = ['a', 'b'].map((key) => ({
    key,
    name: key,
    area: { geometry: [[tangle()]], attributes: {} },
  }));
  expect(adjacency(zones, 30)).toEqual({ pairs: [], snap: 30, gaveUp: true });
}, 30_000);
