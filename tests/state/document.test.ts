import { describe, expect, it } from 'vitest';
import { addPlanting, setLock, setTitle } from '../../src/domain/plan/change.ts';
import { moveSite } from '../../src/domain/plan/changeSites.ts';
import { freshPlan, freshPlanting } from '../../src/domain/plan/fresh.ts';
import { PlanDocument } from '../../src/state/document.svelte.ts';

const start = () => {
  const document = new PlanDocument();
  const plan = freshPlan('Test');
  document.replace(
    addPlanting(plan, freshPlanting('p', 'Planting', 'Quercus alba', { lon: -83, lat: 39, name: '' }, []))
      .after,
  );
  return document;
};

describe('the document', () => {
  it('takes a change back and does it again', () => {
    const document = start();
    const before = document.plan;
    document.apply(moveSite(before, 'p', 0, { lon: -84, lat: 38 }));
    expect(document.plan.plantings[0].site.lon).toBe(-84);
    expect(document.undoNote).toBe('Move the site');
    document.undo();
    expect(document.plan).toBe(before);
    expect(document.redoNote).toBe('Move the site');
    document.redo();
    expect(document.plan.plantings[0].site.lon).toBe(-84);
  });

  it('forgets what was undone once something new is done', () => {
    const document = start();
    document.apply(setTitle(document.plan, 'A'));
    document.undo();
    document.apply(setTitle(document.plan, 'B'));
    expect(document.redoNote).toBeNull();
    expect(document.plan.title).toBe('B');
  });

  it('refuses a change that was made from an older plan', () => {
    const document = start();
    const stale = setTitle(document.plan, 'A');
    document.apply(setTitle(document.plan, 'B'));
    expect(() => document.apply(stale)).toThrow(/present plan/);
  });

  it('keeps a candidate either locked or banned, never both', () => {
    const document = start();
    document.apply(setLock(document.plan, 'p', 'T1', 'lock'));
    document.apply(setLock(document.plan, 'p', 'T1', 'ban'));
    expect(document.plan.plantings[0].locks).toEqual([]);
    expect(document.plan.plantings[0].bans).toEqual(['T1']);
    document.apply(setLock(document.plan, 'p', 'T1', 'none'));
    expect(document.plan.plantings[0].bans).toEqual([]);
  });

  it('says each change once, undo included', () => {
    const document = start();
    let heard = 0;
    document.onChange(() => heard++);
    document.apply(setTitle(document.plan, 'A'));
    document.undo();
    document.undo();
    expect(heard).toBe(2);
  });
});
