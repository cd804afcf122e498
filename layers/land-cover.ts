import type { LayerDefinition } from '../src/domain/layers/definition.ts';

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
    classes: [
      { value: 11, name: 'Open water', colour: '#466b9f' },
      { value: 12, name: 'Perennial ice or snow', colour: '#d1def8' },
      { value: 21, name: 'Developed, open space', colour: '#dec5c5' },
      { value: 22, name: 'Developed, low intensity', colour: '#d99282' },
      { value: 23, name: 'Developed, medium intensity', colour: '#eb0000' },
      { value: 24, name: 'Developed, high intensity', colour: '#ab0000' },
      { value: 31, name: 'Barren land', colour: '#b3ac9f' },
      { value: 41, name: 'Deciduous forest', colour: '#68ab5f' },
      { value: 42, name: 'Evergreen forest', colour: '#1c5f2c' },
      { value: 43, name: 'Mixed forest', colour: '#b5c58f' },
      { value: 51, name: 'Dwarf scrub', colour: '#af963c' },
      { value: 52, name: 'Shrub or scrub', colour: '#ccb879' },
      { value: 71, name: 'Grassland or herbaceous', colour: '#dfdfc2' },
      { value: 72, name: 'Sedge or herbaceous', colour: '#d1d182' },
      { value: 73, name: 'Lichens', colour: '#a3cc51' },
      { value: 74, name: 'Moss', colour: '#82ba9e' },
      { value: 81, name: 'Pasture or hay', colour: '#dcd939' },
      { value: 82, name: 'Cultivated crops', colour: '#ab6c28' },
      { value: 90, name: 'Woody wetlands', colour: '#b8d9eb' },
      { value: 95, name: 'Emergent herbaceous wetlands', colour: '#6c9fb8' },
    ],
  },
};
