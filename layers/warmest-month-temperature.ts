import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Mean temperature of the month with the highest mean, °C. */
export const warmestMonthTemperature: LayerDefinition = {
  id: 'warmest-month-temperature',
  title: 'Mean temperature of the warmest month',
  role: 'climate',
  geometry: 'raster',
  unit: '°C',
  transform: 'identity',
  range: [-5, 45],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f3ead7', '#e8c79a', '#d4965f', '#a85f3c', '#6b3423'] },
  words: ['hotter in summer', 'cooler in summer'],
};
