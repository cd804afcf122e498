import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Sum over the year of daily mean temperature above the base that the source names (often 5 °C), °C d. */
export const growingDegreeDays: LayerDefinition = {
  id: 'growing-degree-days',
  title: 'Growing degree days',
  role: 'climate',
  geometry: 'raster',
  unit: '°C d',
  transform: 'identity',
  range: [0, 9000],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f0ead4', '#d3d6a3', '#9db46f', '#648a47', '#345a2b'] },
  words: ['more growing heat', 'less growing heat'],
};
