import type { LayerDefinition } from '../src/domain/layers/definition.ts';
import { NLCD } from '../src/domain/layers/landcover.ts';

const COLOURS: Readonly<Record<number, string>> = {
  11: '#466b9f',
  12: '#d1def8',
  21: '#dec5c5',
  22: '#d99282',
  23: '#eb0000',
  24: '#ab0000',
  31: '#b3ac9f',
  41: '#68ab5f',
  42: '#1c5f2c',
  43: '#b5c58f',
  51: '#af963c',
  52: '#ccb879',
  71: '#dfdfc2',
  72: '#d1d182',
  73: '#a3cc51',
  74: '#82ba9e',
  81: '#dcd939',
  82: '#ab6c28',
  90: '#b8d9eb',
  95: '#6c9fb8',
};

/** Land-cover classes with the codes, names and colours of the National Land Cover Database legend (USGS; editions from
 * 2001 on: the 1992 edition used other codes). Colours of 24, 31, 41-95 from memory. */
export const landCover: LayerDefinition = {
  id: 'land-cover',
  title: 'Land cover',
  role: 'land cover',
  geometry: 'raster',
  unit: 'class',
  transform: 'identity',
  range: [0, 255],
  sampling: 'nearest',
  legend: {
    kind: 'classes',
    classes: NLCD.map(({ value, name }) => ({ value, name, colour: COLOURS[value] })),
  },
};
