import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Mean of the twelve monthly mean temperatures, °C. */
export const meanAnnualTemperature: LayerDefinition = {
  id: 'mean-annual-temperature',
  title: 'Mean annual temperature',
  role: 'climate',
  geometry: 'raster',
  unit: '°C',
  transform: 'identity',
  range: [-20, 35],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f3ead7', '#e8c79a', '#d4965f', '#a85f3c', '#6b3423'] },
  words: ['warmer', 'colder'],
};
