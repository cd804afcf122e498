/** Work by hand on candidates: repeats merged, trees set down and moved on the map, rows pasted, photos attached; all of it undone. */
import { readFileSync } from 'node:fs';
import { unzipSync } from 'fflate';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

async function candidates(width = 1440, height = 900) {
  const visit = await harness.visit({ width, height });
  await visit.page.waitForSelector('.verdict');
  await settled(visit.page);
  await visit.page.keyboard.press('3');
  await expect.poll(() => total(visit.page)).toBe(920);
  return visit;
}

/** Candidates in the workspace, as the stage counts them. */
async function total(page: Page): Promise<number> {
  const text = await page.locator('.panel').getByText('in the workspace, ').innerText();
  return Number(/^[\d,]+/.exec(text)?.[0].replace(',', ''));
}
const undo = (page: Page) => page.getByRole('button', { name: /^Undo/ }).click();
const undoNote = (page: Page) => page.getByRole('button', { name: /^Undo/ }).getAttribute('aria-label');
const position = (page: Page) => page.locator('.panel tr', { hasText: 'Position' }).last().innerText();

async function onMap(page: Page, dx: number, dy: number) {
  const box = await page.locator('.maplibregl-canvas').boundingBox();
  if (!box) throw new Error('no map');
  return { x: box.x + box.width / 2 + dx, y: box.y + box.height / 2 + dy };
}

/** What a spreadsheet puts on the clipboard, pasted where the focus is. */
const paste = (page: Page, text: string) =>
  page.evaluate((copied) => {
    const data = new DataTransfer();
    data.setData('text/plain', copied);
    const event = new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true });
    document.activeElement?.dispatchEvent(event);
  }, text);

describe('records that repeat another', () => {
  it('are merged side by side, stay on record, and are two again by one step back', async () => {
    const { page, context, complaints } = await candidates();
    const group = page.locator('.panel .group', { hasText: 'FG-0112' });
    await group.click();
    const card = page.locator('.panel .card');
    await card.getByText('this one stands').first().waitFor();
    // The name of the other record is the better one.
    const name = card.getByLabel('Name of FG-0112');
    await name.check();
    await picture(page, 'repeats');
    await card.getByRole('button', { name: 'One tree: merge' }).click();
    await expect.poll(() => total(page)).toBe(919);
    expect(await group.count()).toBe(0);
    await page.getByText('1 tree of several records').click();
    await page
      .locator('.panel li', { hasText: 'with FG-0112' })
      .getByRole('button', { name: 'FG-0175' })
      .click();
    await page.getByRole('heading', { name: 'Records behind this tree' }).waitFor();
    await page.getByText('FG-0112: candidates.csv, row 113').click();
    await expect
      .poll(() => page.locator('.panel .record').innerText())
      .toContain('White oak, forked at ten feet');
    expect(await page.locator('.panel h2').innerText()).toBe('White oak, forked at ten feet');
    await undo(page);
    await page.keyboard.press('3');
    await expect.poll(() => total(page)).toBe(920);
    expect(await group.count()).toBe(1);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('that are clear are merged at once; two trees are not asked about again', async () => {
    const { page, context } = await candidates();
    const before = await page.locator('.panel .group').count();
    await page.getByRole('button', { name: 'Merge the one that is clear' }).click();
    await expect.poll(() => total(page)).toBe(919);
    const group = page.locator('.panel .group', { hasText: 'FG-0112' });
    await group.click();
    await page.getByRole('button', { name: 'Two trees', exact: true }).click();
    await expect.poll(() => page.locator('.panel .group').count()).toBe(before - 2);
    expect(await total(page)).toBe(919);
    await undo(page);
    await undo(page);
    await expect.poll(() => page.locator('.panel .group').count()).toBe(before);
    await context.close();
  });
});

describe('a candidate by hand', () => {
  it('is set down by a click, edited, moved by a drag and by figures, removed, and all of it undone', async () => {
    const { page, context, complaints } = await candidates();
    await page.getByRole('button', { name: 'Add a candidate' }).click();
    const at = await onMap(page, 40, -60);
    await page.mouse.click(at.x, at.y);
    const place = page.getByLabel('Position: latitude, longitude');
    await expect.poll(() => place.inputValue()).toMatch(/^39\.\d+, -82\.\d+$/);
    await page.getByLabel('Name', { exact: true }).fill('Leaning oak');
    await page.getByLabel('Diameter, in').fill('thick');
    await page.getByRole('button', { name: 'Add the candidate' }).click();
    expect(await page.locator('.panel [role=alert]').innerText()).toMatch(
      /Diameter: "thick" is not a diameter/,
    );
    await page.getByLabel('Diameter, in').fill('22');
    await page.getByRole('button', { name: 'Add the candidate' }).click();
    // Its sheet opens when it has been vetted.
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe('Leaning oak');
    expect(await page.locator('.panel tr', { hasText: 'Diameter' }).last().innerText()).toContain('22 in');
    const first = await position(page);

    await page.getByRole('button', { name: 'Edit', exact: true }).click();
    await settled(page);
    await page.mouse.move(at.x, at.y);
    await page.mouse.down();
    await page.mouse.move(at.x + 30, at.y + 10, { steps: 3 });
    await page.mouse.move(at.x + 60, at.y + 20, { steps: 3 });
    await page.mouse.up();
    await page.getByText('from where it stands').waitFor();
    await picture(page, 'moved');
    await page.getByRole('button', { name: 'Keep the changes' }).click();
    await expect.poll(() => position(page)).not.toBe(first);
    expect(await undoNote(page)).toBe('Undo: Move H1');

    await page.getByRole('button', { name: 'Move', exact: true }).click();
    await place.fill("N 39° 6.0' W 82° 24.0'");
    await page.getByRole('button', { name: 'Keep the changes' }).click();
    await expect.poll(() => position(page)).toContain('39.10000, -82.40000');

    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await expect.poll(() => total(page)).toBe(920);
    await undo(page);
    await expect.poll(() => total(page)).toBe(921);
    for (let i = 0; i < 3; i++) await undo(page);
    await expect.poll(() => total(page)).toBe(920);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('is set down by a tap on a narrow screen', async () => {
    const { page, context } = await candidates(390, 844);
    await page.getByRole('button', { name: 'Add a candidate' }).click();
    const at = await onMap(page, 0, -60);
    await page.touchscreen.tap(at.x, at.y);
    await page.getByRole('button', { name: 'Add the candidate' }).click();
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe('H1');
    await undo(page);
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe('Candidates');
    await context.close();
  });
});

describe('the table that is edited', () => {
  it('takes keys, refuses what it does not understand, and undoes a cell', async () => {
    const { page, context } = await candidates();
    await page.getByRole('button', { name: 'Edit the table' }).first().click();
    const grid = page.getByRole('grid');
    await grid.focus();
    const owner = page.getByRole('gridcell', { selected: true });
    for (const key of ['ArrowDown', 'End', 'ArrowLeft']) await page.keyboard.press(key);
    const before = await owner.innerText();
    await page.keyboard.type('none seen');
    await page.keyboard.press('Enter');
    await page.keyboard.press('ArrowUp');
    await expect.poll(() => owner.innerText()).toBe('none seen');
    expect(before).not.toBe('none seen');
    await page.keyboard.press('Control+z');
    await expect.poll(() => owner.innerText()).toBe(before);

    await page.keyboard.press('Home');
    for (let i = 0; i < 6; i++) await page.keyboard.press('ArrowRight');
    await page.keyboard.type('thick');
    await page.keyboard.press('Enter');
    await page.getByText('is not a diameter of a tree').waitFor();
    await page.keyboard.press('Escape');
    expect(await grid.evaluate((g) => g === document.activeElement)).toBe(true);
    await context.close();
  });

  it('takes three rows from a spreadsheet below its last row, in one step', async () => {
    const { page, context, complaints } = await candidates();
    await page.getByRole('button', { name: 'Edit the table' }).first().click();
    await page.getByRole('grid').focus();
    await page.keyboard.press('Control+End');
    await page.keyboard.press('Home');
    await paste(
      page,
      'T-1\tWhite oak\tSpring oak\t39.12\t-82.40\r\nT-2\tBur oak\t\t39.13\t-82.41\r\nT-3\tWhite oak\t\t39.14\t-82.42\r\n',
    );
    await expect.poll(() => page.getByRole('gridcell', { name: 'T-3' }).count()).toBe(1);
    await expect.poll(() => total(page)).toBe(923);
    expect(await undoNote(page)).toBe('Undo: Paste 3 rows');
    await undo(page);
    await expect.poll(() => total(page)).toBe(920);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('shows what a larger paste with column names would change before it does', async () => {
    const { page, context } = await candidates();
    await page.getByRole('button', { name: 'Edit the table' }).first().click();
    await page.getByRole('grid').focus();
    const ids = ['FG-0511', 'FG-0203', 'FG-0595', 'FG-0237'];
    await paste(page, `Tree ID\tDBH (in)\n${ids.map((id, i) => `${id}\t${30 + i}`).join('\n')}`);
    const dialog = page.getByRole('dialog');
    await dialog.getByText('Column names recognised: Id, Diameter.').waitFor();
    expect(await dialog.locator('tbody tr').count()).toBe(4);
    await picture(page, 'paste');
    await dialog.getByRole('button', { name: 'Paste' }).click();
    await expect.poll(() => page.getByRole('gridcell', { name: '33 in' }).count()).toBe(1);
    await undo(page);
    await expect.poll(() => page.getByRole('gridcell', { name: '33 in' }).count()).toBe(0);
    await context.close();
  });
});

describe('stands as polygons', () => {
  it('are candidates: outline on the map, area on the sheet, and a note that each is one', async () => {
    const { page, context, complaints } = await candidates();
    await page.keyboard.press('2');
    await page.getByLabel('Data files').setInputFiles('tests/fixtures/hand/oak-stands.geojson');
    await page.getByLabel('What it is').selectOption('candidates');
    await page.getByRole('button', { name: 'Add this layer' }).click();
    await page.keyboard.press('3');
    await expect.poll(() => total(page)).toBe(922);
    await page.getByText('holds 2 stands as polygons: each is one candidate').waitFor();
    await page.getByLabel('Filter the ledger').fill('ST-1');
    await page.locator('.ledger tr.entry', { hasText: 'ST-1' }).click();
    // 230,572 m² by SpatiaLite.
    await expect
      .poll(() => page.locator('.panel tr', { hasText: 'spacing is measured from its point' }).innerText())
      .toContain('57.0 acres');
    await settled(page);
    await picture(page, 'stand');
    expect(complaints).toEqual([]);
    await context.close();
  });
});

describe('photos', () => {
  const FILES = ['near.jpg', 'far.jpg'].map((f) => `tests/fixtures/hand/${f}`);

  it('go to the nearest tree, or become one; date and direction stand on the sheet', async () => {
    const { page, context, complaints } = await candidates();
    await page.keyboard.press('2');
    await page.getByLabel('Data files').setInputFiles(FILES);
    await page.getByRole('heading', { name: '2 photos brought' }).waitFor();
    expect(await page.getByLabel('What near.jpg shows').inputValue()).toBe('to FG-0511');
    expect(await page.getByLabel('What far.jpg shows').inputValue()).toBe('new');
    await expect
      .poll(() =>
        page
          .locator('.panel img')
          .evaluateAll((all) => all.filter((i) => (i as HTMLImageElement).naturalWidth === 32).length),
      )
      .toBe(2);
    await picture(page, 'photos');
    await page.getByRole('button', { name: 'Add 2 photos, 1 new candidate' }).click();
    await expect.poll(() => total(page)).toBe(921);
    await page.locator('.ledger tr.entry', { hasText: 'FG-0511' }).click();
    const part = page.locator('.panel .photos-of');
    await expect
      .poll(() => part.innerText())
      .toMatch(/near\.jpg\s+2026-02-14 10:22:05, 39 ft from the tree, facing southeast \(120°\)/);
    await settled(page);
    await picture(page, 'photo-sheet');

    // Kept in the browser, and carried by the workspace file.
    await page.getByRole('status').filter({ hasText: 'Kept in this browser' }).waitFor();
    await page.getByRole('button', { name: 'Workspace', exact: true }).click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as a file' }).click(),
    ]);
    const files = unzipSync(new Uint8Array(readFileSync(await download.path())));
    expect(files['photos/near.jpg']).toEqual(new Uint8Array(readFileSync(FILES[0])));
    await page.keyboard.press('Escape');
    await page.reload();
    await settled(page);
    await page.keyboard.press('3');
    await expect.poll(() => total(page)).toBe(921);
    await page.locator('.ledger tr.entry', { hasText: 'FG-0511' }).click();
    await expect
      .poll(() => part.locator('img').evaluate((i) => (i as HTMLImageElement).naturalWidth))
      .toBe(32);
    await part.getByRole('button', { name: 'Not of this tree' }).click();
    await expect.poll(() => part.locator('img').count()).toBe(0);
    await undo(page);
    await expect.poll(() => part.locator('img').count()).toBe(1);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('are taken back by one step with the candidates that they made', async () => {
    const { page, context } = await candidates();
    await page.keyboard.press('2');
    await page.getByLabel('Data files').setInputFiles(FILES);
    await page.getByRole('button', { name: 'Add 2 photos, 1 new candidate' }).click();
    await expect.poll(() => total(page)).toBe(921);
    await undo(page);
    await page.keyboard.press('3');
    await expect.poll(() => total(page)).toBe(920);
    await context.close();
  });
});
