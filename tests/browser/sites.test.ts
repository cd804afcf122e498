/** The sites of a planting: added, drawn, taken from a file, taken back; at a desk and on a telephone. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

async function planting(width = 1440, height = 900, scheme: 'light' | 'dark' = 'light') {
  const visit = await harness.visit({ width, height, scheme });
  await visit.page.waitForSelector('.verdict');
  await settled(visit.page);
  await visit.page.getByRole('navigation').getByRole('button', { name: 'Planting' }).click();
  await visit.page.getByRole('heading', { name: 'Site', exact: true }).waitFor();
  return visit;
}

const button = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
/** Its name says what it takes back. */
const undo = (page: Page) => page.getByRole('button', { name: /^Undo/ });
const position = (page: Page) => page.getByLabel(/latitude, longitude$/).first();
const FILE = 'File with outlines of sites';
const fixtures = (...names: string[]): string[] => names.map((n) => `tests/fixtures/sites/${n}`);

/** Middle of the map that is in sight, in pixels of the page. */
async function middle(page: Page) {
  const box = await page.locator('.maplibregl-canvas').boundingBox();
  if (!box) throw new Error('no map');
  return { x: box.x + box.width / 2, y: box.y + box.height * 0.4 };
}

describe('a site that is drawn', () => {
  it('has an area and ranges, and undo makes it the point again', async () => {
    const { page, context, complaints } = await planting();
    const before = await position(page).inputValue();
    const scale = await page.locator('.map-scale-label').innerText();
    await button(page, 'Draw its outline').click();
    const { x, y } = await middle(page);
    const click = (dx: number, dy: number) => page.mouse.click(x + dx, y + dy, { delay: 20 });
    await click(-60, -40);
    await page.getByText('1 corner.').waitFor();
    await click(60, -40);
    await click(60, 40);
    await page.getByText('3 corners.').waitFor();
    // Its side would run through the first one.
    await click(0, -80);
    await page.getByText('this corner is not set').waitFor();
    await page.mouse.move(x - 60, y + 40);
    await expect.poll(() => page.locator('.drawing .area').innerText()).toMatch(/\d ac$/);
    await picture(page, 'site-drawing-1440');
    expect(await faults(page)).toEqual([]);
    await page.mouse.dblclick(x - 60, y + 40);
    await expect.poll(() => button(page, 'Close the outline').count()).toBe(0);
    await settled(page);
    await page.getByText(/^Means over the cells inside/).waitFor();
    // The double click closed the outline and did nothing else.
    expect(await page.locator('.map-scale-label').innerText()).toBe(scale);
    expect(await page.locator('.between').count()).toBeGreaterThan(2);
    expect(await position(page).inputValue()).not.toBe(before);
    await picture(page, 'site-area-1440');
    // Set outside, it is a point, and that is said.
    await button(page, 'Set it on the map').click();
    await click(-150, 100);
    await page.getByText(/is a point now: the place lies outside its outline/).waitFor();
    await undo(page).click();
    await button(page, 'Draw it anew').waitFor();
    await undo(page).click();
    await expect.poll(() => position(page).inputValue()).toBe(before);
    await button(page, 'Draw its outline').waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('answers to the keys while it is drawn, and a click on the first corner closes it', async () => {
    const { page, context } = await planting();
    await button(page, 'Draw its outline').click();
    const { x, y } = await middle(page);
    for (const [dx, dy] of [
      [0, 0],
      [70, 0],
      [70, 60],
    ])
      await page.mouse.click(x + dx, y + dy);
    await page.getByText('3 corners.').waitFor();
    await page.keyboard.press('Backspace');
    await page.getByText('2 corners.').waitFor();
    await page.keyboard.press('Enter');
    await page.getByText('An outline has three corners or more.').waitFor();
    await page.keyboard.press('Control+z');
    await page.getByText('1 corner.').waitFor();
    expect(await undo(page).isDisabled()).toBe(true);
    await page.keyboard.press('Escape');
    await expect.poll(() => page.locator('.drawing').count()).toBe(0);
    await button(page, 'Draw its outline').click();
    for (const [dx, dy] of [
      [0, 0],
      [70, 0],
      [70, 60],
      [2, 2],
    ])
      await page.mouse.click(x + dx, y + dy);
    await button(page, 'Draw it anew').waitFor();
    await context.close();
  });
});

describe('several sites', () => {
  it('are added, unfolded, put in another order and removed, and say what counts', async () => {
    const { page, context, complaints } = await planting();
    await button(page, 'Add a site').click();
    await page.getByLabel('Or type latitude, longitude').fill('here');
    await button(page, 'Add it').click();
    await page.getByText(/"here" is not latitude and longitude/).waitFor();
    await page.getByLabel('Or type latitude, longitude').fill('39.06, -82.30');
    await button(page, 'Add it').click();
    await page.getByText('A tree has to suit every site: the least match counts.').waitFor();
    await page.getByRole('heading', { name: '2 sites' }).waitFor();
    await settled(page);
    expect(await position(page).inputValue()).toBe('39.060000, -82.300000');
    await page.getByRole('row', { name: /^Elevation/ }).waitFor();
    await button(page, 'Make it the first').click();
    expect(await page.locator('.panel ol .head .name').allInnerTexts()).toEqual([
      'Site 1',
      'Old pasture above Sketch Valley',
    ]);
    await page.getByText(/The first site: the scouting day starts here/).waitFor();
    await picture(page, 'two-sites-1440');
    expect(await faults(page)).toEqual([]);
    await button(page, 'Remove it').click();
    await page.getByRole('heading', { name: 'Site', exact: true }).waitFor();
    expect(await page.getByLabel('Place', { exact: true }).inputValue()).toBe(
      'Old pasture above Sketch Valley',
    );
    await undo(page).click();
    await page.getByRole('heading', { name: '2 sites' }).waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('come from a file, whose coordinate system is asked for, and take the place of the one there is', async () => {
    const { page, context, complaints } = await planting();
    await page.getByLabel(FILE).setInputFiles(fixtures('utm.shp', 'utm.dbf', 'utm.shx'));
    await page.getByText('does not say its coordinate system').waitFor();
    await picture(page, 'sites-file-system-1440');
    await page.getByLabel(/EPSG code, WKT or PROJ string/).fill('EPSG:26917');
    await button(page, 'Use it').click();
    await page.getByText('Which of the outlines are sites of this planting?').waitFor();
    expect(await button(page, 'Add the site').isDisabled()).toBe(true);
    await page.getByLabel('Upper pasture').check();
    await page.getByLabel('Two strips').check();
    await picture(page, 'sites-file-1440');
    expect(await faults(page)).toEqual([]);
    await button(page, 'Use in place of the present site').click();
    await page.getByRole('heading', { name: '2 sites' }).waitFor();
    await settled(page);
    // 461,334 and 480,476 m² by another program: 114.0 and 118.7 acres.
    expect(await page.locator('.panel ol .head').allInnerTexts()).toEqual([
      expect.stringMatching(/Upper pasture\s+114\.0 ac/),
      expect.stringMatching(/Two strips\s+118\.7 ac/),
    ]);
    await picture(page, 'sites-from-file-1440');
    await expect.poll(() => page.locator('.panel h3:focus').innerText()).toBe('2 sites');
    await undo(page).click();
    await page.getByRole('heading', { name: 'Site', exact: true }).waitFor();
    // A file that is none.
    await page
      .getByLabel(FILE)
      .setInputFiles({ name: 'notes.txt', mimeType: 'text/plain', buffer: Buffer.from('nothing to see\n') });
    await page.locator('section').getByRole('alert').waitFor();
    await button(page, 'Put the file away').click();
    expect(complaints).toEqual([]);
    await context.close();
  });
});

describe('on a telephone', () => {
  for (const scheme of ['light', 'dark'] as const)
    it(`an outline is drawn by taps, and its buttons are large enough: ${scheme}`, async () => {
      const { page, context, complaints } = await planting(390, 844, scheme);
      await button(page, 'Draw its outline').click();
      await page.getByText(/^Tap the corners of the outline of/).waitFor();
      await page.waitForTimeout(400);
      const { x, y } = await middle(page);
      for (const [n, [dx, dy]] of (
        [
          [-60, -50],
          [60, -50],
          [60, 60],
        ] as const
      ).entries()) {
        await page.touchscreen.tap(x + dx, y + dy);
        await page.getByText(`${n + 1} corner`).waitFor();
      }
      for (const b of await page.locator('.drawing button').all())
        expect((await b.boundingBox())?.height).toBeGreaterThanOrEqual(48);
      await picture(page, `site-drawing-390-${scheme}`);
      expect(await faults(page)).toEqual([]);
      await button(page, 'Close the outline').click();
      await button(page, 'Draw it anew').waitFor();
      await settled(page);
      await button(page, 'Add a site').click();
      await picture(page, `site-area-390-${scheme}`);
      expect(await faults(page)).toEqual([]);
      expect(complaints).toEqual([]);
      await context.close();
    });
});
