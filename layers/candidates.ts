import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Trees or stands that seed might be gathered from: a table with positions, points, or the outlines of stands. */
export const candidates: LayerDefinition = {
  id: 'candidates',
  title: 'Candidates',
  role: 'candidates',
  geometry: 'point',
  also: 'polygon',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#3f5d2a' },
};
