import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Trees listed by a street- or park-tree inventory. */
export const inventory: LayerDefinition = {
  id: 'inventory',
  title: 'Street and park trees',
  role: 'inventory',
  geometry: 'point',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#8c3b5c' },
};
