/** The main job with files from disk, as a practitioner would do it; every request of it is recorded. */
import { readFileSync, writeFileSync } from 'node:fs';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { picture, settled, startHarness, type Harness, type Visit } from './harness.ts';

const COUNTY = 'tests/fixtures/county';
const FILES = ['hills.tif', 'seed-zones.fgb', 'notebook.csv'].map((f) => join(COUNTY, f));

let harness: Harness;
let visit: Visit;
let page: Page;
const dir = mkdtempSync(join(tmpdir(), 'main-job-'));

beforeAll(async () => {
  harness = await startHarness();
  visit = await harness.visit();
  page = visit.page;
  await page.waitForSelector('.verdict');
  await settled(page);
});
afterAll(async () => {
  await harness.close();
  rmSync(dir, { recursive: true });
});

const stage = (name: string) => page.getByRole('navigation').getByRole('button', { name }).click();
const members = () => page.locator('.panel tbody .tree').allInnerTexts();

/** The parent set as it is once everything has been worked out anew. */
async function chosen(): Promise<string[]> {
  await stage('Parent set');
  await page.waitForSelector('.verdict');
  await settled(page);
  return (await members()).slice(0, 10);
}

describe('the main job with files from disk', () => {
  it('starts a workspace of its own', async () => {
    await page.getByRole('button', { name: 'Workspace', exact: true }).click();
    await page.getByRole('button', { name: 'New', exact: true }).click();
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe('Planting');
    await expect.poll(() => page.getByText('No candidates yet').count()).toBe(1);
  });

  it('looks into several files at once and guesses what each is', async () => {
    await stage('Layers');
    await page.getByLabel('Data files').setInputFiles(FILES);
    await page.getByRole('button', { name: 'Add 2 layers' }).waitFor();
    const kinds = await page
      .getByLabel('What it is')
      .evaluateAll((all) => all.map((s) => (s as HTMLSelectElement).value));
    // Nothing in "hills.tif" says what its numbers are: no guess is made, and it waits.
    expect([...kinds].sort()).toEqual(['', 'candidates', 'zones']);
    await page
      .locator('article', { hasText: 'hills.tif' })
      .getByLabel('What it is')
      .selectOption('elevation');
    await page.getByRole('button', { name: 'Add 3 layers' }).click();
    await page.getByRole('button', { name: 'Details of Elevation' }).click();
    await page.getByText('120 × 120 cells').waitFor();
    await page.getByRole('button', { name: 'Details of Elevation' }).click();
    await settled(page);
  });

  it('refuses bad files with one sentence each and changes nothing', async () => {
    const bad = join(dir, 'broken.tif');
    writeFileSync(bad, readFileSync(FILES[0]).subarray(0, 900));
    const html = join(dir, 'download.tif');
    writeFileSync(html, '<!doctype html><title>Sign in</title>');
    const before = await page.locator('.panel article .title').allInnerTexts();
    await page.getByLabel('Data files').setInputFiles([bad, html]);
    await page.getByText('is a web page').waitFor();
    await page.getByText('is damaged or cut short').waitFor();
    expect(await page.locator('.panel article .title').allInnerTexts()).toEqual(before);
    for (let left = 2; left > 0; left--)
      await page
        .getByRole('button', { name: /^Put away/ })
        .first()
        .click();
    await expect.poll(() => page.getByText('is a web page').count()).toBe(0);
  });

  it('sets the site of a planting by a click on the map', async () => {
    await stage('Planting');
    await page.getByRole('button', { name: 'Add a planting' }).first().click();
    await settled(page);
    const position = page.getByLabel('Position: latitude, longitude');
    const before = await position.inputValue();
    await page.getByRole('button', { name: 'Set it on the map' }).click();
    const box = await page.locator('.maplibregl-canvas').boundingBox();
    if (!box) throw new Error('no map');
    await page.mouse.click(box.x + box.width * 0.55, box.y + box.height * 0.5);
    await expect.poll(() => position.inputValue()).not.toBe(before);
    await settled(page);
    await picture(page, 'own-files-planting');
  });

  let first: string[] = [];
  it('chooses ten mother trees and proves it', async () => {
    await stage('Planting');
    await page.getByLabel('Elevation: strength').selectOption('off');
    await page.getByLabel('Match: strength').selectOption('off');
    first = await chosen();
    expect(first).toHaveLength(10);
    expect(await page.locator('.verdict').innerText()).toContain('10 mother trees, proven best');
    await picture(page, 'own-files-parents');
  });

  it('changes the members when a rule changes, and undoes it', async () => {
    await stage('Planting');
    await page.getByLabel('Zone: strength').selectOption('must');
    await page.getByLabel('Adjacent zones too').uncheck();
    const home = await chosen();
    expect(home).not.toEqual(first);
    await page.getByRole('button', { name: /^Undo:/ }).click();
    await expect.poll(chosen, { timeout: 20_000 }).toEqual(first);
    await page.getByRole('button', { name: /^Redo:/ }).click();
    await expect.poll(chosen, { timeout: 20_000 }).toEqual(home);
    await page.getByRole('button', { name: /^Undo:/ }).click();
    await expect.poll(chosen, { timeout: 20_000 }).toEqual(first);
  });

  it('keeps map, ledger and sheet in step', async () => {
    await page.locator('.ledger tr.entry').nth(2).click();
    const name = await page.locator('.ledger tr.entry.selected td').nth(2).innerText();
    expect(await page.locator('.panel h2').innerText()).toBe(name);
    expect(await page.locator('.panel').innerText()).toMatch(/Findings/);
    await page.keyboard.press('Escape');
    await page.waitForSelector('.verdict');
  });

  it('asks a reason for an override and marks it', async () => {
    await stage('Candidates');
    await page.locator('.ledger tr.entry').last().click();
    await page.getByText('Override the standing').click();
    await page.getByRole('button', { name: 'Override', exact: true }).click();
    expect(await page.getByText('Set by a person against the rules').count()).toBe(0);
    await page.getByLabel('Reason (needed', { exact: false }).fill('Seen by the ranger in March');
    await page.getByRole('button', { name: 'Override', exact: true }).click();
    await page.getByText('Seen by the ranger in March').first().waitFor();
    await settled(page);
    await page.keyboard.press('Control+z');
    await expect.poll(() => page.getByText('Seen by the ranger in March').count()).toBe(0);
  });

  it('downloads the day as GPX', async () => {
    await stage('Scouting');
    await page.getByRole('button', { name: 'GPX', exact: true }).waitFor();
    await settled(page);
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'GPX', exact: true }).click(),
    ]);
    const path = join(dir, 'day.gpx');
    await file.saveAs(path);
    const gpx = readFileSync(path, 'utf8');
    expect(gpx.match(/<wpt /g)).toHaveLength(10);
    expect(gpx.match(/<rtept /g)).toHaveLength(12);
    await picture(page, 'own-files-scouting');
  });

  it('saves the workspace as one file and opens it again', async () => {
    await page.getByRole('button', { name: 'Workspace', exact: true }).click();
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as a file' }).click(),
    ]);
    const path = join(dir, 'saved.zip');
    await file.saveAs(path);
    const entries = unzipSync(new Uint8Array(readFileSync(path)));
    expect(Object.keys(entries).sort()).toEqual(['hills.tif', 'notebook.csv', 'plan.json', 'seed-zones.fgb']);
    expect(Buffer.from(entries['hills.tif'])).toEqual(readFileSync(FILES[0]));
    await page.getByRole('button', { name: 'Demo workspace' }).click();
    await expect.poll(() => page.getByLabel('Workspace title').inputValue()).toMatch(/Figment/);
    await page.getByRole('button', { name: 'Workspace', exact: true }).click();
    await page.getByLabel('Workspace file').setInputFiles(path);
    await expect.poll(() => page.getByLabel('Workspace title').inputValue()).toBe('Untitled workspace');
    expect(await chosen()).toEqual(first);
  });

  it('has it again after the page is loaded anew', async () => {
    await expect.poll(() => page.locator('.save').innerText()).toBe('Kept in this browser');
    await page.reload();
    await page.waitForSelector('.verdict');
    expect(await chosen()).toEqual(first);
  });

  it('sent nothing to another origin, and the page complained of nothing', () => {
    const elsewhere = visit.requests.filter((r) => !r.startsWith(harness.url) && !/^(blob|data):/.test(r));
    expect(elsewhere).toEqual([]);
    expect(visit.complaints).toEqual([]);
  });
});

describe('a second tab', () => {
  it('shows the workspace and does not edit it', async () => {
    const second = await visit.context.newPage();
    await second.goto(harness.url);
    await second.getByText('Open in another tab: view only').waitFor();
    await second.close();
  });
});
