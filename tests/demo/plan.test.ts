import { existsSync } from 'node:fs';
import { expect, test } from 'vitest';
import { layerDefinition } from '../../layers/index.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { resolveSpecies } from '../../src/domain/species/species.ts';
import { FOLDER, plan, rows } from './files.ts';

test('the plan holds to its schema', () => {
  const parsed = parsePlan(plan, 'plan.json');
  expect(parsed.ok ? '' : parsed.failure.what).toBe('');
});

test('every layer has a definition, its unit and a file, and says that it is invented', () => {
  for (const layer of plan.layers) {
    const definition = layerDefinition(layer.definition);
    expect(definition, layer.id).toBeDefined();
    if (layer.unit !== undefined) expect(layer.unit).toBe(definition?.unit);
    expect(existsSync(new URL(layer.path ?? '', FOLDER)), layer.path).toBe(true);
    expect(`${layer.source} ${layer.licence}`).toMatch(/invented/);
  }
});

test('both periods are there for all four climate variables, and the plantings read the earlier', () => {
  const climate = plan.layers.filter((l) => layerDefinition(l.definition)?.role === 'climate');
  expect(climate).toHaveLength(8);
  expect(new Set(climate.map((l) => l.period))).toEqual(new Set(['1991-2020', '2041-2070']));
  for (const planting of plan.plantings)
    expect(planting.variables.map((id) => climate.find((l) => l.id === id)?.period)).toEqual(
      Array(4).fill('1991-2020'),
    );
});

test('each planting says where its scouting day starts, when, and how long it is', () => {
  for (const { scouting } of plan.plantings) {
    expect(scouting).toMatchObject({ leave: 450, hours: 10 });
    expect(scouting?.start?.name).not.toBe('');
    expect(scouting?.date).toMatch(/^2026-(09|10|11)-\d\d$/);
  }
});

test('at least 600 candidates of at least four oaks, every name known to the oak table', () => {
  expect(rows.length).toBeGreaterThanOrEqual(600);
  const kinds = new Map<string, number>();
  for (const r of rows) kinds.set(r['species'], (kinds.get(r['species']) ?? 0) + 1);
  expect([...kinds.values()].filter((n) => n >= 50).length).toBeGreaterThanOrEqual(4);
  for (const name of kinds.keys()) expect(resolveSpecies(name).species, name).toBeGreaterThanOrEqual(0);
});

test('scores, permissions and Darwin Core terms are from their lists', () => {
  for (const r of rows) {
    for (const score of ['form', 'crown', 'last_crop']) expect(['0', '1', '2', '3', '4']).toContain(r[score]);
    expect(['granted', 'asked', 'unknown', 'refused']).toContain(r['permission']);
    expect(['native', 'introduced', 'uncertain', '']).toContain(r['establishmentMeans']);
    expect(['native', 'cultivated', '']).toContain(r['degreeOfEstablishment']);
    expect(r['provenance']).toMatch(/invented/);
  }
});

test('an owner gives one answer for all trees', () => {
  const answers = new Map<string, Set<string>>();
  for (const r of rows)
    if (r['owner']) answers.set(r['owner'], (answers.get(r['owner']) ?? new Set()).add(r['permission']));
  for (const [owner, said] of answers) expect([...said], owner).toHaveLength(1);
});
