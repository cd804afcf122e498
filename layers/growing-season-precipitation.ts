import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Sum of May to September, mm of water; differences of the logarithm. */
export const growingSeasonPrecipitation: LayerDefinition = {
  id: 'growing-season-precipitation',
  title: 'Growing-season precipitation',
  role: 'climate',
  geometry: 'raster',
  unit: 'mm',
  transform: 'log',
  range: [5, 4000],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f1ecd9', '#c9d8c4', '#8fb8b0', '#4d8a94', '#1f5268'] },
  words: ['wetter in the growing season', 'drier in the growing season'],
};
