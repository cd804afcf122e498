import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Trees or stands that seed might be gathered from: a table with positions, or points. */
export const candidates: LayerDefinition = {
  id: 'candidates',
  title: 'Candidates',
  role: 'candidates',
  geometry: 'point',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#3f5d2a' },
};
