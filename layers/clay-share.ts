import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Clay in the fine earth, % of mass. */
export const clayShare: LayerDefinition = {
  id: 'clay-share',
  title: 'Clay share',
  role: 'soil',
  geometry: 'raster',
  unit: '%',
  transform: 'identity',
  range: [0, 100],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f4ecdd', '#dcc5a3', '#b8936b', '#87613f', '#503621'] },
  words: ['more clay', 'less clay'],
};
