/** Which layers the variables of a planting are read from, at candidates and at the sites. */
import { describe, expect, it } from 'vitest';
import { layerDefinition } from '../../../layers/index.ts';
import type { LayerEntry } from '../../../src/domain/plan/schema.ts';
import { chosenVariables, type VariableChoice } from '../../../src/domain/vetting/match/chosenVariables.ts';

const NOW = '1991-2020';
const LATER = '2041-2070';
const layer = (id: string, definition: string, period = '', more: Partial<LayerEntry> = {}): LayerEntry => ({
  ...{ id, definition, period, path: `${id}.tif`, band: 1, source: '', date: '', licence: '' },
  ...more,
});
const LAYERS = [
  layer('mat-later', 'mean-annual-temperature', LATER),
  layer('rain', 'annual-precipitation', NOW),
  layer('mat', 'mean-annual-temperature', NOW, { title: 'Warmth', band: 3 }),
  layer('ph', 'soil-ph'),
  layer('relief', 'elevation'),
  layer('zones', 'zones'),
  layer('cover', 'land-cover'),
];
const choice = (variables: string[], more: Partial<VariableChoice> = {}): VariableChoice => ({
  variables,
  sitePeriod: '',
  transforms: {},
  ...more,
});
const chosen = (c: VariableChoice, layers = LAYERS) => {
  const result = chosenVariables(c, layers, layerDefinition);
  if (!result.ok) throw new Error(`${result.failure.where} ${result.failure.what}`);
  return result.value;
};
const refusal = (c: VariableChoice, layers = LAYERS): string => {
  const result = chosenVariables(c, layers, layerDefinition);
  if (result.ok) throw new Error('not refused');
  expect(result.failure.todo).not.toBe('');
  return `${result.failure.code}: ${result.failure.where} ${result.failure.what}`;
};

describe('the variables of a planting', () => {
  it('come in its order with title, unit, words and role of their layers', () => {
    const all = chosen(choice(['relief', 'mat', 'rain']));
    expect(all.map((v) => [v.variable.id, v.variable.title, v.variable.unit, v.role])).toEqual([
      ['relief', 'Elevation', 'm', 'terrain'],
      ['mat', 'Warmth', '°C', 'climate'],
      ['rain', 'Annual precipitation', 'mm', 'climate'],
    ]);
    expect(all[1].variable.words).toEqual(['warmer', 'colder']);
    expect(all[1].variable.period).toBe(NOW);
  });

  it('are read from the same layer at the sites, unless these are read from another period', () => {
    expect(chosen(choice(['mat', 'ph'])).map((v) => v.siteLayer.id)).toEqual(['mat', 'ph']);
    expect(chosen(choice(['mat', 'ph'], { sitePeriod: NOW })).map((v) => v.siteLayer.id)).toEqual([
      'mat',
      'ph',
    ]);
  });

  it('pair by definition with the layer of the other period, whatever it is called; terrain and soil with themselves', () => {
    const pairs = chosen(choice(['relief', 'mat', 'ph'], { sitePeriod: LATER }));
    expect(pairs.map((v) => `${v.layer.id} ${v.siteLayer.id}`)).toEqual([
      'relief relief',
      'mat mat-later',
      'ph ph',
    ]);
    // What the candidates' values are of stays as it is.
    expect(pairs[1].variable).toMatchObject({ id: 'mat', period: NOW, title: 'Warmth' });
  });

  it('are refused where none is chosen, and where one is no raster of numbers or is not there', () => {
    expect(refusal(choice([]))).toBe('variables: Match no variable is chosen');
    for (const id of ['zones', 'cover', 'gone'])
      expect(refusal(choice(['mat', id]))).toBe(`variables: ${id} is no raster of numbers`);
  });

  it('are refused where one has no layer, or several, in the period of the sites', () => {
    expect(refusal(choice(['mat', 'rain'], { sitePeriod: LATER }))).toBe(
      `variables: Annual precipitation has no layer of the period ${LATER} for the site`,
    );
    const two = [...LAYERS, layer('mat-later-2', 'mean-annual-temperature', LATER)];
    expect(refusal(choice(['mat'], { sitePeriod: LATER }), two)).toBe(
      `variables: Warmth has 2 layers of the period ${LATER} for the site`,
    );
    // One that is of that period itself needs no other.
    expect(chosen(choice(['mat-later'], { sitePeriod: LATER }), two)[0].siteLayer.id).toBe('mat-later');
  });

  it('are transformed as the planting says, else as their definition does', () => {
    const how = (transforms: VariableChoice['transforms']): string[] =>
      chosen(choice(['mat', 'rain'], { transforms })).map((v) => v.variable.transform);
    expect(how({})).toEqual(['identity', 'log']);
    expect(how({ mat: 'log', rain: 'identity' })).toEqual(['log', 'identity']);
    expect(how({ ph: 'log' })).toEqual(['identity', 'log']);
  });
});
