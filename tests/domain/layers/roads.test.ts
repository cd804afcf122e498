import { expect, it } from 'vitest';
import { halfWidth } from '../../../src/domain/layers/roads.ts';

it.each([
  [{ width: '7' }, 3.5],
  [{ width: 7 }, 3.5],
  [{ width: '7.5 m' }, 3.75],
  [{ width: '24 ft' }, 12 * 0.3048],
  [{ width: "24'" }, 12 * 0.3048],
  [{ WIDTH: '10', lanes: '2', highway: 'service' }, 5],
  // No width of a road: the lanes, else the class.
  [{ width: 'narrow', lanes: '2' }, 3.5],
  [{ width: '0', lanes: 2 }, 3.5],
  [{ width: '700', highway: 'residential' }, 3],
  [{ lanes: '4', highway: 'residential' }, 7],
  [{ lanes: '99', highway: 'track' }, 1.5],
  [{ highway: 'motorway' }, 5.5],
  [{ highway: 'motorway_link' }, 2.5],
  [{ highway: 'footway' }, 0.75],
  [{ highway: 'toString' }, 3],
  [{}, 3],
])('half the width of %j is %d m', (attributes, metres) => {
  expect(halfWidth(attributes)).toBeCloseTo(metres, 10);
});
