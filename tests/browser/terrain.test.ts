/** Terrain derived from the demo's elevation on screen: one step, drawn on the map, gone and back with its elevation. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faults, picture, settled, startHarness, type Harness, type Visit } from './harness.ts';

let harness: Harness;
let visit: Visit;
let page: Page;

beforeAll(async () => {
  harness = await startHarness();
  visit = await harness.visit();
  page = visit.page;
  await page.waitForSelector('.verdict');
  await settled(page);
  await openLayers(page);
});
afterAll(() => harness.close());

const openLayers = (p: Page) => p.getByRole('navigation').getByRole('button', { name: 'Layers' }).click();
const details = (title: string) => page.getByRole('button', { name: `Details of ${title}`, exact: true });
const shown = (title: string) =>
  page.getByRole('checkbox', { name: new RegExp(`^Show on the map.*${title}$`) });
const undo = () => page.getByRole('button', { name: /^Undo:/ }).click();
const computed = () => page.getByText(/^Computed from Elevation \(/).count();
describe('terrain from elevation', () => {
  it('is chosen in the details of the elevation layer', async () => {
    await details('Elevation').click();
    await page.getByText('Derive terrain', { exact: true }).click();
    const add = page.getByRole('button', { name: /^Add (this layer|\d layers)$/ });
    expect(await add.isDisabled()).toBe(true);
    for (const name of ['Slope', 'Northness', 'Eastness', 'Relative position'])
      await page.getByRole('checkbox', { name: new RegExp(`^${name}`) }).check();
    expect(await add.innerText()).toBe('Add 4 layers');
    const radius = page.getByRole('spinbutton', { name: 'Radius' });
    await radius.fill('2000');
    await radius.press('Tab');
    await page.getByRole('checkbox', { name: /^Relative position/ }).scrollIntoViewIfNeeded();
    await picture(page, 'terrain-derive');
    expect(await faults(page)).toEqual([]);
    await add.click();
    await settled(page);
    await expect.poll(computed).toBe(4);
    await details('Elevation').click();
  });

  it('stands among the layers, with its formula, a legend and a picture on the map', async () => {
    await shown('Relative position, 2,000 ft').waitFor();
    await shown('Slope').check();
    await settled(page);
    await page.getByRole('img', { name: 'Colours from low to high' }).first().waitFor();
    await picture(page, 'terrain-slope');
    await shown('Slope').uncheck();
    await shown('Northness').check();
    await settled(page);
    await picture(page, 'terrain-northness');
    await shown('Northness').uncheck();
    await shown('Relative position, 2,000 ft').check();
    await details('Relative position, 2,000 ft').click();
    await page.getByText(/Guisan, Weiss & Weiss 1999, Plant Ecology/).waitFor();
    await settled(page);
    await page.getByText(/Guisan, Weiss & Weiss 1999, Plant Ecology/).scrollIntoViewIfNeeded();
    await picture(page, 'terrain-position');
    expect(await faults(page)).toEqual([]);
    // The radius is in its title as long as nobody has given it another.
    const field = page.getByRole('spinbutton', { name: /^Radius compared with/ });
    await field.fill('3000');
    await field.press('Tab');
    await shown('Relative position, 3,000 ft').waitFor();
    await settled(page);
    await details('Relative position, 3,000 ft').click();
    await undo();
    await shown('Relative position, 2,000 ft').waitFor();
  });

  it('says that its elevation was removed, and comes back with it; one undo takes all four away', async () => {
    await details('Elevation').click();
    await page.getByRole('button', { name: 'Remove Elevation' }).click();
    await page
      .getByText(/which is not among the layers/)
      .first()
      .waitFor();
    await settled(page);
    await picture(page, 'terrain-gone');
    await undo();
    await settled(page);
    await expect.poll(() => page.getByText(/which is not among the layers/).count()).toBe(0);
    await expect.poll(() => shown('Slope').isEnabled()).toBe(true);
    await undo();
    await expect.poll(computed).toBe(0);
  });

  it('fits a phone in the dark', async () => {
    const phone = await harness.visit({ width: 390, height: 844, scheme: 'dark' });
    await phone.page.waitForSelector('.verdict');
    await settled(phone.page);
    await openLayers(phone.page);
    await phone.page.getByRole('button', { name: 'Details of Elevation', exact: true }).click();
    await phone.page.getByText('Derive terrain', { exact: true }).click();
    await phone.page.getByRole('checkbox', { name: /^Relative position/ }).check();
    await phone.page.getByText('Compared with the mean of').scrollIntoViewIfNeeded();
    await picture(phone.page, 'terrain-phone');
    expect(await faults(phone.page)).toEqual([]);
    expect(phone.complaints).toEqual([]);
    await phone.context.close();
  });

  it('leaves nothing to complain of', () => {
    expect(visit.complaints).toEqual([]);
  });
});
