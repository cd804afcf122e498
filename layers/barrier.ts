import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Ground that nobody walks across: water, fenced land, cliffs. */
export const barrier: LayerDefinition = {
  id: 'barrier',
  title: 'Barriers',
  role: 'barrier',
  geometry: 'polygon',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#5b6b7c' },
};
