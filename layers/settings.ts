import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Burial grounds, orchards, old fields, yards, campuses, parks, verges: polygons with an attribute that names the kind. */
export const settings: LayerDefinition = {
  id: 'settings',
  title: 'Settings',
  role: 'settings',
  geometry: 'polygon',
  unit: null,
  transform: 'identity',
  range: null,
  sampling: null,
  legend: { kind: 'single', colour: '#a07c9a' },
};
