/** What an open layer's entry says is edited without the file being opened again; the next vetting goes by the plan. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { editLayer } from '../../src/domain/plan/change.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { vettingKey } from '../../src/domain/plan/keys.ts';
import type { Plan } from '../../src/domain/plan/schema.ts';
import type { Vetting } from '../../src/domain/vetting/vetting.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';

const parsed = parsePlan(JSON.parse(readFileSync('demo-data/plan.json', 'utf8')), 'plan.json');
if (!parsed.ok) throw new Error(parsed.failure.what);
const temperature = 'mean-annual-temperature';
const needed = ['elevation', `${temperature}-1991-2020`, `${temperature}-2041-2070`, 'candidates'];
const start: Plan = {
  ...parsed.value,
  layers: parsed.value.layers.filter((l) => needed.includes(l.id)),
  plantings: [
    { ...parsed.value.plantings[0], variables: [`${temperature}-1991-2020`], sitePeriod: '2041-2070' },
  ],
};

async function open(plan: Plan): Promise<Desk> {
  const desk = createDesk();
  for (const entry of plan.layers) {
    const bytes = new Uint8Array(readFileSync(`demo-data/${entry.path}`));
    const opened = await openLayer(desk, entry, memorySource(entry.path ?? '', bytes), {});
    if (!opened.ok) throw new Error(opened.failure.what);
  }
  return desk;
}
async function vetted(desk: Desk, plan: Plan): Promise<Vetting> {
  const result = await vet(desk, plan, plan.plantings[0], 'k', {});
  if (!result.ok) throw new Error(result.failure.what);
  return result.value;
}

describe('an edited layer entry', () => {
  it('shows its new source beside what was measured from it', async () => {
    const desk = await open(start);
    expect((await vetted(desk, start)).provenance.elevation?.source).toBe('invented for demonstration');
    const edited = editLayer(start, 'elevation', { source: 'another survey' }).after;
    expect((await vetted(desk, edited)).provenance.slope?.source).toBe('another survey');
    const [planting] = start.plantings;
    expect(vettingKey(edited, planting, '1')).not.toBe(vettingKey(start, planting, '1'));
  });

  it('is the site of another period only while it says so', async () => {
    const desk = await open(start);
    expect((await vetted(desk, start)).match).not.toBeNull();
    const edited = editLayer(start, `${temperature}-2041-2070`, { period: '2071-2100' }).after;
    const without = await vetted(desk, edited);
    expect(without.match).toBeNull();
    expect(without.notes.join(' ')).toContain('no layer of the period 2041-2070');
  });
});
