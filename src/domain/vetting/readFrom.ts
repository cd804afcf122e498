import type { Measures } from './vetting.ts';

/** Which measures a layer of each definition is read for. */
export const READ_FROM: Readonly<Record<string, ReadonlyArray<keyof Measures>>> = {
  elevation: ['elevation', 'slope'],
  zones: ['zone'],
  'land-cover': ['cover', 'ground', 'developed100', 'developed500', 'forest100'],
  buildings: ['building', 'buildings100', 'buildingYear'],
  roads: ['road', 'roadEdge', 'drivable', 'roadRow'],
  inventory: ['inventory', 'plantedOnRecord'],
  settings: ['setting', 'settingYear'],
  development: ['developedYear'],
  'native-range': ['range'],
};

const DEFINITION = new Map(
  Object.entries(READ_FROM).flatMap(([definition, names]) => names.map((n) => [n, definition] as const)),
);

/** Id of the layer definition that a measure is read from; '' where it is none (the candidates themselves). */
export const definitionOf = (measure: keyof Measures): string => DEFINITION.get(measure) ?? '';
