import { expect, test } from 'vitest';
import { adjacency } from '../../../src/domain/layers/adjacency.ts';
import { adjacencyOf, contactTable } from '../../../src/domain/layers/contacts.ts';
import { box, zone } from './grid.ts';

const zones = [
  zone('sw', box(0, 0, 5_000, 5_000)),
  zone('se', box(5_000, 0, 10_000, 5_000)),
  zone('ne', box(5_000, 5_000, 10_000, 10_000)),
  zone('far', box(50_000, 0, 60_000, 10_000)),
];
const drawn = adjacency(zones, 30);

test('without a word of a person the table is what is drawn', () => {
  const { rows, stray } = contactTable(zones, drawn);
  expect(rows.map((r) => [r.a, r.b, r.contact, r.drawn, r.byHand])).toEqual([
    [0, 1, 'edge', 'edge', false],
    [0, 2, 'corner', 'corner', false],
    [1, 2, 'edge', 'edge', false],
  ]);
  expect(stray).toEqual([]);
  expect(adjacencyOf(rows, 30)).toEqual(drawn);
});

test('a contact set by hand stands in place of the drawn one, whichever zone is named first; the last word holds', () => {
  const { rows } = contactTable(zones, drawn, [
    { a: 'se', b: 'sw', contact: 'none' },
    { a: 'far', b: 'se', contact: 'corner' },
    { a: 'se', b: 'far', contact: 'edge' },
    { a: 'sw', b: 'ne', contact: 'edge' },
  ]);
  expect(rows.map((r) => [r.a, r.b, r.contact, r.drawn, r.byHand])).toEqual([
    [0, 1, 'none', 'edge', true],
    [0, 2, 'edge', 'corner', true],
    [1, 2, 'edge', 'edge', false],
    [1, 3, 'edge', 'none', true],
  ]);
  expect(rows[0].sharedMetres).toBeCloseTo(drawn.pairs[0].sharedMetres, 9);
  expect(adjacencyOf(rows, 30).pairs.map((p) => [p.a, p.b, p.contact])).toEqual([
    [0, 2, 'edge'],
    [1, 2, 'edge'],
    [1, 3, 'edge'],
  ]);
});

test('a key that no zone has, and a zone with itself, are named and change nothing', () => {
  const odd = [
    { a: 'sw', b: 'nowhere', contact: 'edge' as const },
    { a: 'sw', b: 'sw', contact: 'edge' as const },
  ];
  const { rows, stray } = contactTable(zones, drawn, odd);
  expect(stray).toEqual(odd);
  expect(adjacencyOf(rows, 30)).toEqual(drawn);
});
