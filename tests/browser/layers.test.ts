/** The panel of layers in the demo workspace: one line a layer, what is behind it, and that edits can be undone. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { picture, settled, startHarness, type Harness, type Visit } from './harness.ts';

let harness: Harness;
let visit: Visit;
let page: Page;

beforeAll(async () => {
  harness = await startHarness();
  visit = await harness.visit();
  page = visit.page;
  await page.waitForSelector('.verdict');
  await settled(page);
  await openLayers();
});
afterAll(() => harness.close());

const openLayers = () => page.getByRole('navigation').getByRole('button', { name: 'Layers' }).click();
const details = (title: string) => page.getByRole('button', { name: `Details of ${title}`, exact: true });
const undo = () => page.getByRole('button', { name: /^Undo:/ }).click();
const kept = () => expect.poll(() => page.locator('.save').innerText()).toBe('Kept in this browser');

describe('the list of layers', () => {
  it('is one line a layer', async () => {
    const lines = page.locator('.panel article');
    await expect.poll(() => lines.count()).toBeGreaterThan(12);
    const heights = await lines.evaluateAll((all) => all.map((a) => a.getBoundingClientRect().height));
    expect(Math.max(...heights)).toBeLessThan(46);
  });

  it('keeps opacity and order of drawing with the workspace', async () => {
    const titles = () => page.locator('.panel article .title').allTextContents();
    const before = await titles();
    await details('Roads').click();
    await page.getByRole('button', { name: 'Higher' }).click();
    const after = await titles();
    const at = (all: string[]) => all.findIndex((t) => t.endsWith('Roads'));
    expect(at(before)).toBeGreaterThan(0);
    expect(at(after)).toBe(at(before) - 1);
    await page.getByLabel('Opacity').fill('0.5');
    await kept();
    await page.reload();
    await openLayers();
    await expect.poll(titles).toEqual(after);
    await details('Roads').click();
    expect(await page.getByLabel('Opacity').inputValue()).toBe('0.5');
    await details('Roads').click();
  });

  it('tells what a raster holds', async () => {
    await details('Mean annual temperature 1991-2020').click();
    await page.getByRole('img', { name: /^Histogram from/ }).waitFor();
    await page.getByText('125 × 125 cells').waitFor();
    await details('Mean annual temperature 1991-2020').click();
  });

  it('lets a class of land cover count as another ground, as one step back', async () => {
    await details('Land cover').click();
    await page.getByText('Deciduous forest').waitFor();
    await page.getByRole('button', { name: 'What its classes count as' }).click();
    const pasture = page.getByLabel('Value 81 counts as');
    expect(await pasture.locator('option:checked').innerText()).toBe('Pasture (usual)');
    await pasture.selectOption('forest');
    await settled(page);
    expect(await pasture.inputValue()).toBe('forest');
    await picture(page, 'layers-classes');
    await undo();
    await expect.poll(() => pasture.inputValue()).toBe('');
    await settled(page);
    await details('Land cover').click();
  });

  it('lets the field that holds a year be chosen, shows what stands in it, and takes it back', async () => {
    await details('Settings').click();
    await page.getByText('How the file is read').click();
    const year = page.getByLabel('Field: year since');
    const before = await year.inputValue();
    await page.getByText(/^In the first areas: \d{4}/).waitFor();
    await year.selectOption('name');
    await page.getByText('No year in the first areas').waitFor();
    await year.selectOption({ label: 'In no field' });
    await expect.poll(() => page.getByText(/in the first areas/i).count()).toBe(0);
    await undo();
    await undo();
    await expect.poll(() => year.inputValue()).toBe(before);
    await settled(page);
    await details('Settings').click();
  });

  it('lets the contact of two zones be set by hand, as one step back', async () => {
    await details('Seed-collection zones').click();
    await page.getByText('Which zones touch', { exact: true }).click();
    const first = page.getByLabel(/^How .* touch$/).first();
    await first.waitFor();
    expect(await first.inputValue()).toBe('');
    await first.selectOption('none');
    await expect.poll(() => first.inputValue()).toBe('none');
    await settled(page);
    await picture(page, 'layers-contacts');
    await undo();
    await expect.poll(() => first.inputValue()).toBe('');
    await settled(page);
  });

  it('adds a pair that the shapes do not have', async () => {
    const rows = page.getByLabel(/^How .* touch$/);
    const before = await rows.count();
    const zones = page.getByLabel('First zone of another pair').locator('option');
    const keys = (await zones.evaluateAll((all) => all.map((o) => (o as HTMLOptionElement).value))).slice(1);
    const drawn = await rows.evaluateAll((all) => all.map((s) => s.getAttribute('aria-label') ?? ''));
    const pair = keys
      .flatMap((a, i) => keys.slice(i + 1).map((b) => [a, b]))
      .find(([a, b]) => !drawn.includes(`How ${a} and ${b} touch`));
    if (!pair) throw new Error('every pair of zones touches');
    await page.getByLabel('First zone of another pair').selectOption(pair[0]);
    await page.getByLabel('Second zone of another pair').selectOption(pair[1]);
    await page.getByRole('button', { name: 'They touch' }).click();
    await expect.poll(() => rows.count()).toBe(before + 1);
    await undo();
    await expect.poll(() => rows.count()).toBe(before);
    await details('Seed-collection zones').click();
    await settled(page);
  });
});

describe('a second tab', () => {
  it('shows layers and takes no file', async () => {
    const second = await visit.context.newPage();
    await second.goto(harness.url);
    await second.getByText('Open in another tab: view only').waitFor();
    await second.getByRole('navigation').getByRole('button', { name: 'Layers' }).click();
    await second.getByLabel('Data files').setInputFiles('tests/fixtures/county/seed-zones.fgb');
    await second.getByRole('button', { name: 'Add this layer' }).click();
    await second.getByText('this one only shows it').waitFor();
    // Nothing was put away and nothing was added.
    expect(await second.getByRole('button', { name: 'Add this layer' }).count()).toBe(1);
    expect(await second.getByRole('button', { name: 'Details of Seed-collection zones' }).count()).toBe(1);
    await second.close();
  });
});

it('the page complained of nothing', () => expect(visit.complaints).toEqual([]));
