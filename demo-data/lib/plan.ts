import type { PlanInput } from '../../src/domain/plan/schema.ts';
import { PERIODS, VARIABLES } from './climate.ts';
import { type Local, toLonLat } from './frame.ts';
import type { Ground } from './ground.ts';
import type { Planned } from './planned.ts';
import { PLANTING_1, PLANTING_2, SPECIES_1, SPECIES_2 } from './tuning.ts';

export const NOTICE =
  'Invented demonstration data: the ground, places, owners, people and trees are made up. Do not use it to gather or plant.';
const SOURCE = 'invented for demonstration';
const DATE = '2026-01-15';
const LICENCE = 'MIT, invented data';

export const RASTERS = {
  elevation: 'elevation.tif',
  cover: 'land-cover.tif',
  development: 'year-first-developed.tif',
  climate: (variable: string, period: string): string => `${variable}-${period}.tif`,
} as const;
const UNITS: Record<(typeof VARIABLES)[number], string> = {
  'mean-annual-temperature': '°C',
  'coldest-month-temperature': '°C',
  'annual-precipitation': 'mm',
  'frost-free-period': 'days',
};

export function makePlan(g: Ground, planned: Planned): PlanInput {
  const place = (p: Local, name: string): { lon: number; lat: number; name: string } => {
    const [lon, lat] = toLonLat(p);
    return { lon, lat, name };
  };
  const town = (name: string): Local => g.towns.find((t) => t.name === name)!.centre;
  const entry = { source: SOURCE, date: DATE, licence: LICENCE };
  const context = (id: string, path: string): PlanInput['layers'][number] => ({
    id,
    definition: id,
    path,
    ...entry,
  });
  const yard = planned.trees.find((t) => t.notes.startsWith('owner says'))!;
  return {
    kinstand: 1,
    title: 'Demo: the Figment country',
    notice: NOTICE,
    plantings: [
      {
        id: PLANTING_1,
        title: 'White oak for the Figment Plateau',
        species: SPECIES_1,
        site: place(planned.sites.one, 'Old pasture above Sketch Valley'),
        seedlings: 12_000,
        year: 2028,
        variables: [...VARIABLES].map((v) => `${v}-${PERIODS[0]}`),
        scouting: {
          start: place(town('Lesser Notion'), 'Field office, Lesser Notion'),
          date: '2026-09-22',
          leave: 450,
          hours: 10,
          stopMinutes: 25,
          kmh: 50,
          detour: 1.3,
        },
      },
      {
        id: PLANTING_2,
        title: 'Chestnut oak for the Notional Ridges',
        species: SPECIES_2,
        site: place(planned.sites.two, 'Burnt clearing on the Notional Ridges'),
        seedlings: 5_000,
        year: 2028,
        variables: [...VARIABLES].map((v) => `${v}-${PERIODS[0]}`),
        rules: { zone: { strength: 'must', adjacent: false, cornerCounts: false, snap: 30 } },
        scouting: {
          start: place(town('Makebelieve'), 'Makebelieve depot'),
          date: '2026-09-24',
          leave: 450,
          hours: 10,
          stopMinutes: 25,
          kmh: 50,
          detour: 1.3,
        },
      },
    ],
    layers: [
      { id: 'elevation', definition: 'elevation', path: RASTERS.elevation, unit: 'm', ...entry },
      ...PERIODS.flatMap((period) =>
        VARIABLES.map((v) => ({
          id: `${v}-${period}`,
          definition: v,
          path: RASTERS.climate(v, period),
          unit: UNITS[v],
          period,
          ...entry,
        })),
      ),
      { id: 'land-cover', definition: 'land-cover', path: RASTERS.cover, unit: 'class', ...entry },
      { ...context('zones', 'zones.fgb'), key: 'zone', name: 'name' },
      context('native-range', 'native-range.fgb'),
      { ...context('buildings', 'buildings.fgb'), year: 'built' },
      context('roads', 'roads.fgb'),
      { ...context('settings', 'settings.fgb'), year: 'since' },
      { id: 'development', definition: 'development', path: RASTERS.development, unit: 'year', ...entry },
      { ...context('inventory', 'street-trees.fgb'), year: 'planted' },
      context('candidates', 'candidates.csv'),
    ],
    statements: [
      {
        candidate: yard.id,
        origin: 'planted',
        reason: "Owner's grandfather set it out",
        by: 'M. Specimen',
        date: '2025-09-12',
      },
    ],
  };
}
