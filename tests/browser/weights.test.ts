/** Weights of the evidence on the demo workspace (invented): edit, load, compare, learn from outcomes, tables on record. */
import { readFileSync } from 'node:fs';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Plan, Statement } from '../../src/domain/plan/schema.ts';
import { truth } from '../demo/files.ts';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

const demo = JSON.parse(readFileSync('demo-data/plan.json', 'utf8')) as Plan;

/** What the demo's maker knows of its trees, for some of them, as if it had been found out. */
function outcomes(n: number): Statement[] {
  const ids = [...truth.kindOf.keys()];
  const every = Math.floor(ids.length / n);
  return ids
    .filter((_, i) => i % every === 0)
    .slice(0, n)
    .map((candidate) => ({
      candidate,
      origin: truth.originOf(candidate),
      reason: 'as the maker of the demo has it',
      by: 'The maker',
      date: '2026-09-01',
      how: 'records',
    }));
}

/** The demo with these statements on record. */
async function visit(statements: Statement[], options: Parameters<Harness['visit']>[0] = {}) {
  const opened = await harness.visit({
    ...options,
    before: (page) => page.route('**/plan.json', (route) => route.fulfill({ json: { ...demo, statements } })),
  });
  const { page } = opened;
  await page.waitForSelector('.verdict');
  await settled(page);
  return opened;
}
async function openWeights(page: Page): Promise<void> {
  await page.keyboard.press('3');
  await page.getByRole('button', { name: /^Weights of the evidence/ }).click();
  await page.getByRole('heading', { name: 'Weights of the evidence' }).waitFor();
}
const version = (page: Page): Promise<string> => page.locator('.panel .version').innerText();
/** Candidates that a table of moves counts: all, and those off its diagonal. */
async function movesOf(part: Locator): Promise<{ all: number; off: number }> {
  const cells = await part.locator('table.moves tbody td').allInnerTexts();
  const counts = cells.map((t) => (t === '·' ? 0 : Number(t.replaceAll(',', ''))));
  const sum = (list: readonly number[]): number => list.reduce((a, b) => a + b, 0);
  return { all: sum(counts), off: sum(counts.filter((_, i) => i % 5 !== 0)) };
}

describe('the weights of the evidence', () => {
  it('are edited, loaded, compared and fitted anew, and those that were in use stay on record', async () => {
    const { page, context, complaints } = await visit(outcomes(60));
    await openWeights(page);
    const builtIn = await version(page);
    await picture(page, 'weights');

    // A ratio is changed where it is read; how many trees have the answer stands beside it.
    await page.locator('.themes summary', { hasText: 'People' }).click();
    const ratio = page.getByRole('button', { name: /^Nearest building, 984 ft or more: ×2 for natural/ });
    await ratio.click();
    await page.getByLabel('Times').fill('400');
    await page.getByLabel('Speaks for').selectOption('for planted');
    await picture(page, 'weights-people');
    await page.getByRole('button', { name: 'Set', exact: true }).click();
    await page.getByRole('button', { name: /^Nearest building, 984 ft or more: ×400 for planted/ }).waitFor();
    expect(await version(page)).toBe(`${builtIn}, edited`);
    await settled(page);

    // Compared with the built-in table: every candidate is counted once, and those off the diagonal are listed.
    await page.getByLabel(/^The table in use/).selectOption({ label: `${builtIn}, the built-in table` });
    const table = page.locator('table.moves');
    await table.waitFor();
    const { all, off } = await movesOf(page.locator('.panel'));
    const said = await page.getByText(/candidates would get another verdict/).innerText();
    expect(said).toBe(`${off} of ${all} candidates would get another verdict.`);
    expect(off).toBeGreaterThan(0);
    await page.getByText('Those that would change').click();
    expect(await page.locator('table.trees tbody tr').count()).toBe(Math.min(off, 40));
    await table.scrollIntoViewIfNeeded();
    await picture(page, 'weights-compare');
    await page.getByRole('button', { name: 'Take this table' }).click();
    await expect.poll(() => version(page)).toBe(builtIn);

    // A file that is no table is refused in a sentence, and nothing changes.
    const chooser = page.getByLabel('Load a file: table of evidence weights');
    await chooser.setInputFiles({
      name: 'bad.json',
      mimeType: 'application/json',
      buffer: Buffer.from('{"version":"hills","prior":0,"pieces":[]}'),
    });
    await page.getByText(/bad\.json/).waitFor();
    expect(await page.getByRole('main').innerText()).toMatch(
      /bad\.json\s+prior is 0\. Give a number above 0/,
    );
    expect(await version(page)).toBe(builtIn);

    // Fitted anew: declined, nothing changes; accepted, the table is the plan's and the old one is on record.
    await settled(page);
    const fit = page.getByRole('button', { name: 'Fit the weights anew' });
    await fit.click();
    await page.getByRole('button', { name: 'Decline' }).click();
    expect(await version(page)).toBe(builtIn);
    await fit.click();
    await page.getByText(/Mean squared error/).waitFor();
    expect(await page.locator('figure svg[role=img]').count()).toBe(2);
    await page.getByText('Predicted and found').scrollIntoViewIfNeeded();
    await picture(page, 'weights-fit');
    expect(await faults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Accept the new weights' }).click();
    await expect.poll(() => version(page)).toMatch(/, re-fitted \d{4}-\d\d-\d\d$/);
    const past = page.locator('table.past tbody tr');
    expect(await past.locator('button').allInnerTexts()).toEqual([builtIn, `${builtIn}, edited`, builtIn]);
    expect(await past.first().innerText()).toMatch(/then: re-fitted on \d+ outcomes/);
    // The one before can be taken again, also by undoing.
    await page.locator('.panel .body').focus();
    await page.keyboard.press('Control+z');
    await expect.poll(() => version(page)).toBe(builtIn);
    expect(await past.count()).toBe(2);
    expect(complaints).toEqual([]);
    await context.close();
  });
});

describe('a table of before some evidence came to be', () => {
  it('says what it has no weights for, and may take the built-in ones', async () => {
    const { page, context, complaints } = await visit([], { width: 390, height: 844 });
    await openWeights(page);
    const builtIn = await version(page);
    await page.getByLabel('Load a file: table of evidence weights').setInputFiles({
      name: 'hills.json',
      mimeType: 'application/json',
      buffer: Buffer.from(
        '{"version":"hills","prior":1,"pieces":[{"piece":"building","steps":[{"ratio":2}]}]}',
      ),
    });
    const lacks = page.getByText(/^This table has no weights for .*Setting;/);
    await lacks.waitFor();
    expect(await version(page)).toBe('hills');
    expect(await lacks.innerText()).not.toContain('Nearest building;');
    await picture(page, 'weights-lacking-390');
    expect(await faults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Take the built-in weights for it' }).click();
    await expect.poll(() => version(page)).toBe(`hills with ${builtIn}`);
    expect(await lacks.count()).toBe(0);
    expect(complaints).toEqual([]);
    await context.close();
  });
});

describe('the origin as seen while scouting', () => {
  it('is recorded at a stop of the day, decides, counts as an outcome, and can be taken back', async () => {
    const { page, context, complaints } = await visit([], { width: 390, height: 844, scheme: 'dark' });
    await page.keyboard.press('5');
    const first = page.getByRole('button', { name: /^Origin as seen: not recorded/ }).first();
    await first.click();
    await page.getByText('Not settled: nothing is recorded').waitFor();
    await page.getByLabel('planted', { exact: true }).check();
    await page.getByLabel(/^What was seen/).fill('nursery tag on the lowest limb');
    await page.getByLabel('By', { exact: true }).fill('A. Sample');
    await page.locator('.seen').scrollIntoViewIfNeeded();
    await picture(page, 'scouting-origin-390');
    expect(await faults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    // A planted tree is no stop of the day any longer: what was seen stays listed.
    const seen = page.locator('.recorded');
    await expect
      .poll(() => seen.innerText())
      .toMatch(/planted, seen at the tree while scouting: “nursery tag on the lowest limb”/);
    await settled(page);
    await openWeights(page);
    await expect.poll(() => page.locator('table.outcomes').innerText()).toMatch(/planted\s+1/);
    await page.locator('.grip').click();
    await page.locator('.themes summary', { hasText: 'Ground use' }).click();
    await page.getByRole('button', { name: /^Setting, yard: / }).click();
    await page.getByText('Groups of trees, age from diameter').click();
    await page.getByRole('button', { name: /^Growth factor of white oak: 5/ }).click();
    await page.locator('.panel .body').evaluate((b) => b.scrollTo(0, 0));
    await picture(page, 'weights-390-dark');
    expect(await faults(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    await page.getByRole('navigation').getByRole('button', { name: 'Scouting' }).click();
    await page.getByRole('button', { name: 'Take it back' }).click();
    await seen.waitFor({ state: 'detached' });
    expect(complaints).toEqual([]);
    await context.close();
  });
});
