import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Mean temperature of the month with the lowest mean, °C. */
export const coldestMonthTemperature: LayerDefinition = {
  id: 'coldest-month-temperature',
  title: 'Mean temperature of the coldest month',
  role: 'climate',
  geometry: 'raster',
  unit: '°C',
  transform: 'identity',
  range: [-45, 30],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f3ead7', '#e8c79a', '#d4965f', '#a85f3c', '#6b3423'] },
  words: ['milder in winter', 'colder in winter'],
};
