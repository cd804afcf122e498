import { describe, expect, it } from 'vitest';
import { setBasemap, tileTemplate } from '../../../src/domain/plan/basemap.ts';
import { freshPlan } from '../../../src/domain/plan/fresh.ts';
import { parsePlan } from '../../../src/domain/plan/parse.ts';

describe('an address of map pictures', () => {
  it('needs the three numbers of a tile; rows may be counted from the south', () => {
    expect(tileTemplate('https://example.org/a/{z}/{x}/{y}.png')).toEqual({
      ok: true,
      value: { tiles: 'https://example.org/a/{z}/{x}/{y}.png', scheme: 'xyz' },
    });
    expect(tileTemplate('https://example.org/a/{z}/{x}/{-y}.png')).toMatchObject({
      value: { tiles: 'https://example.org/a/{z}/{x}/{y}.png', scheme: 'tms' },
    });
  });

  it.each([
    ['https://example.org/a/{z}/{x}.png', 'has no {y}'],
    ['https://{s}.example.org/{z}/{x}/{y}.png', 'has {s}'],
    ['example.org/{z}/{x}/{y}.png', 'is not an address'],
    ['javascript:alert(1)//{z}/{x}/{y}', 'is not an address'],
  ])('refuses %s', (address, what) => {
    const template = tileTemplate(address);
    expect(template.ok).toBe(false);
    if (!template.ok) expect(template.failure.what).toContain(what);
  });
});

describe('the basemap of a plan', () => {
  it('is off until it is set, and off again when it is taken away', () => {
    const plan = freshPlan('Test');
    expect(plan.basemap).toBeUndefined();
    const set = setBasemap(plan, {
      kind: 'pmtiles',
      path: 'ground.pmtiles',
      title: '',
      attribution: '',
    }).after;
    expect(parsePlan(JSON.parse(JSON.stringify(set)), 'plan.json')).toMatchObject({ ok: true });
    expect(setBasemap(set, undefined).after).toEqual(plan);
  });
});
