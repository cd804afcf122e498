import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Polygons within which seed is moved; those with one key are one zone. */
export const zones: LayerDefinition = {
  id: 'zones',
  title: 'Seed-collection zones',
  role: 'zones',
  geometry: 'polygon',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#23291f' },
};
