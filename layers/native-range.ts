import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Where the species grows by itself, one or more polygons. */
export const nativeRange: LayerDefinition = {
  id: 'native-range',
  title: 'Native range',
  role: 'range',
  geometry: 'polygon',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#7a8f5a' },
};
