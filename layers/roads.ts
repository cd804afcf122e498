import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Road and path lines; the attribute "highway" tells which are drivable. */
export const roads: LayerDefinition = {
  id: 'roads',
  title: 'Roads',
  role: 'roads',
  geometry: 'line',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#8a7f70' },
};
