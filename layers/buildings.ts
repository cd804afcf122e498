import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Building outlines. */
export const buildings: LayerDefinition = {
  id: 'buildings',
  title: 'Buildings',
  role: 'buildings',
  geometry: 'polygon',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#6b5d55' },
};
