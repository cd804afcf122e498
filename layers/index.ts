/** Every layer definition, in the order in which the user is offered them. A new definition is added here by hand. */
import type { LayerDefinition } from '../src/domain/layers/definition.ts';
import { annualPrecipitation } from './annual-precipitation.ts';
import { availableWater } from './available-water.ts';
import { barrier } from './barrier.ts';
import { buildings } from './buildings.ts';
import { candidates } from './candidates.ts';
import { clayShare } from './clay-share.ts';
import { coldestMonthTemperature } from './coldest-month-temperature.ts';
import { development } from './development.ts';
import { eastness } from './eastness.ts';
import { elevation } from './elevation.ts';
import { frostFreePeriod } from './frost-free-period.ts';
import { growingDegreeDays } from './growing-degree-days.ts';
import { growingSeasonPrecipitation } from './growing-season-precipitation.ts';
import { inventory } from './inventory.ts';
import { landCover } from './land-cover.ts';
import { meanAnnualTemperature } from './mean-annual-temperature.ts';
import { nativeRange } from './native-range.ts';
import { northness } from './northness.ts';
import { relativePosition } from './relative-position.ts';
import { roads } from './roads.ts';
import { settings } from './settings.ts';
import { slope } from './slope.ts';
import { soilPh } from './soil-ph.ts';
import { warmestMonthTemperature } from './warmest-month-temperature.ts';
import { zones } from './zones.ts';

export const layerDefinitions: readonly LayerDefinition[] = [
  candidates,
  zones,
  elevation,
  slope,
  northness,
  eastness,
  relativePosition,
  meanAnnualTemperature,
  coldestMonthTemperature,
  warmestMonthTemperature,
  annualPrecipitation,
  growingSeasonPrecipitation,
  frostFreePeriod,
  growingDegreeDays,
  soilPh,
  availableWater,
  clayShare,
  landCover,
  settings,
  development,
  buildings,
  roads,
  inventory,
  nativeRange,
  barrier,
];

const byId = new Map(layerDefinitions.map((l) => [l.id, l]));

/** The definition with this id; undefined for an id that no definition has. */
export const layerDefinition = (id: string): LayerDefinition | undefined => byId.get(id);
