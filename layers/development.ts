import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Year in which the ground was first built over: a raster of years, or areas (parcels, subdivisions) with an attribute that holds it. */
export const development: LayerDefinition = {
  id: 'development',
  title: 'Year first developed',
  role: 'settings',
  geometry: 'raster',
  also: 'polygon',
  unit: 'year',
  transform: 'identity',
  range: [1600, 2100],
  sampling: 'nearest',
  legend: { kind: 'ramp', colours: ['#4a3b33', '#80614e', '#b0896a', '#d6b99a', '#f0e4d4'] },
};
