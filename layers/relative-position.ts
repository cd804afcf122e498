import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Metres over (under: below zero) the mean of the ground about a place: ridge, slope or hollow. */
export const relativePosition: LayerDefinition = {
  id: 'relative-position',
  title: 'Relative position',
  role: 'terrain',
  geometry: 'raster',
  unit: 'm',
  transform: 'identity',
  range: [-3000, 3000],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#33473f', '#637262', '#9b9b7c', '#cdbf98', '#f3ead2'] },
  derives: 'relative position',
  words: ['higher on the slope', 'lower on the slope'],
};
