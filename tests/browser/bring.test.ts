/**
 * Bringing files in, as a practitioner would: files written by GDAL (tests/fixtures/vectors, see make.sh there) and a sheet
 * written by hand (tests/fixtures/intake).
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync, zipSync } from 'fflate';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { picture, settled, startHarness, type Harness, type Visit } from './harness.ts';

const SHAPES = 'tests/fixtures/vectors/shapefiles';
const shape = (name: string, ...endings: string[]) => endings.map((e) => join(SHAPES, `${name}.${e}`));

/** West, south, east, north of zones.shp by ogr2ogr -t_srs EPSG:4326 (GDAL 3.6.2). */
const GDAL_ZONES = [-87.73546, 39.8413, -87.68745, 39.8533];

let harness: Harness;
let visit: Visit;
let page: Page;
const dir = mkdtempSync(join(tmpdir(), 'bring-'));

beforeAll(async () => {
  harness = await startHarness();
  visit = await harness.visit();
  page = visit.page;
  await page.waitForSelector('.verdict');
  await settled(page);
  await page.getByRole('button', { name: 'Workspace', exact: true }).click();
  await page.getByRole('button', { name: 'New', exact: true }).click();
  await page.getByText('No candidates yet').waitFor();
  await openLayers();
});
afterAll(async () => {
  await harness.close();
  rmSync(dir, { recursive: true });
});

const openLayers = () => page.getByRole('navigation').getByRole('button', { name: 'Layers' }).click();
const bring = (...files: string[]) => page.getByLabel('Data files').setInputFiles(files);
const details = (title: string) => page.getByRole('button', { name: `Details of ${title}`, exact: true });
const kept = () => expect.poll(() => page.locator('.save').innerText()).toBe('Kept in this browser');

describe('a loose shapefile', () => {
  it('comes in as one, with all that stands beside it', async () => {
    await bring(...shape('zones', 'shp', 'dbf', 'shx', 'prj'));
    await page.getByText('with zones.dbf, zones.shx, zones.prj').waitFor();
    expect(await page.getByLabel('What it is').count()).toBe(1);
    expect(await page.getByLabel('What it is').inputValue()).toBe('zones');
    await page.getByRole('button', { name: 'Add this layer' }).click();
    await details('Seed-collection zones').click();
    await page.getByText('3 areas').waitFor();
  });

  it('lies where GDAL puts it', async () => {
    const extent = await page.locator('dd', { hasText: 'Show' }).innerText();
    const found = extent.match(/-?\d+\.\d+/g)?.map(Number) ?? [];
    GDAL_ZONES.forEach((x, i) => expect(Math.abs(found[i] - x)).toBeLessThan(0.001));
    await details('Seed-collection zones').click();
  });

  it('is whole again after the page is loaded anew', async () => {
    await kept();
    await page.reload();
    await openLayers();
    await details('Seed-collection zones').click();
    await page.getByText('3 areas').waitFor();
    await details('Seed-collection zones').click();
  });

  it('says of a .prj alone that it belongs to another file', async () => {
    await bring(...shape('trails', 'prj'));
    await page.getByText('only says something of another file').waitFor();
    await page.getByRole('button', { name: /^Put away/ }).click();
  });
});

describe('a file that does not say its coordinate system', () => {
  it('asks, shows where each guess would put it, and takes the one that is accepted', async () => {
    await bring(...shape('zones-no-prj', 'shp', 'dbf', 'shx'));
    await page.getByText('does not say its coordinate system').waitFor();
    expect(await page.getByRole('button', { name: /^Add/ }).count()).toBe(0);
    const albers = page.getByRole('radio', { name: /EPSG:5070/ });
    await albers.check();
    expect(await page.getByRole('img', { name: 'Where NAD83 / Conus Albers would put it' }).count()).toBe(1);
    await settled(page);
    await picture(page, 'bring-system');
    await page.getByRole('button', { name: /^Use NAD83/ }).click();
    await page.getByText('as you said').waitFor();
    await page.getByLabel('What it is').selectOption('settings');
    await page.getByRole('button', { name: 'Add this layer' }).click();
    await details('Settings').click();
    await page.getByText('EPSG:5070, as you said').waitFor();
    const extent = await page.locator('dd', { hasText: 'Show' }).innerText();
    const found = extent.match(/-?\d+\.\d+/g)?.map(Number) ?? [];
    GDAL_ZONES.forEach((x, i) => expect(Math.abs(found[i] - x)).toBeLessThan(0.001));
    await page.getByRole('button', { name: /^Remove/ }).click();
  });
});

describe('a file with a mistake of position', () => {
  it('shows what is wrong, and mends it only when asked', async () => {
    const swapped = join(dir, 'swapped.geojson');
    const ring = [39, 39.2].flatMap((y, i) => [-83, -82.8].map((x) => [y, i === 0 ? x : -165.8 - x]));
    const geometry = { type: 'Polygon', coordinates: [[...ring, ring[0]]] };
    const feature = { type: 'Feature', properties: { zone: 'A' }, geometry };
    writeFileSync(swapped, JSON.stringify({ type: 'FeatureCollection', features: [feature] }));
    await bring(swapped);
    await page.getByText('Is this right?').waitFor();
    await page.getByText('39.00, -83.00 to 39.20, -82.80').waitFor();
    await page.getByText('-83.00, 39.00 to -82.80, 39.20').waitFor();
    await page.getByRole('button', { name: 'Show both on the map' }).click();
    await page.getByRole('button', { name: 'Swap the coordinates' }).click();
    await page.getByText('Coordinates were put in each other’s place').waitFor();
    await expect.poll(() => page.getByText('Is this right?').count()).toBe(0);
    await page.getByRole('button', { name: 'Take it back' }).click();
    await page.getByText('Is this right?').waitFor();
    await page.getByRole('button', { name: /^Put away/ }).click();
  });
});

describe('a file that holds several things', () => {
  it('lets the user choose which', async () => {
    await bring('tests/fixtures/vectors/geopackage/county.gpkg');
    const part = page.getByLabel('Which part of the file');
    await part.waitFor();
    expect(await part.locator('option').allInnerTexts()).toEqual(
      expect.arrayContaining([expect.stringContaining('zones'), expect.stringContaining('trails')]),
    );
    await part.selectOption('trails');
    await page.getByLabel('What it is').selectOption('roads');
    await page.getByRole('button', { name: 'Add this layer' }).click();
    await details('Roads').click();
    await page.getByText('2 lines', { exact: true }).waitFor();
    await details('Roads').click();
  });
});

describe('a table with odd headers and decimal commas', () => {
  const SHEET = 'tests/fixtures/intake/field-sheet.csv';
  const dialog = () => page.getByRole('dialog', { name: 'Columns of field-sheet.csv' });

  it('says what it lacks, and shows rows as understood while columns are chosen', async () => {
    await bring(SHEET);
    await page.getByText('Choose its columns.').waitFor();
    await page.getByLabel('What it is').selectOption('candidates');
    await page.getByRole('button', { name: /^Choose columns/ }).click();
    expect(await dialog().getByText('header "Lat" is usual for it').count()).toBe(1);
    await dialog().getByLabel('Longitude', { exact: true }).selectOption('Across');
    await dialog().getByText('5 of 6 rows have a place.').waitFor();
    await dialog().getByLabel('Species', { exact: true }).selectOption('Kind');
    await dialog().getByText('40.94801, -91.11358').waitFor();
    await dialog().getByText('Q. macrocarpa').waitFor();
    await dialog().getByText('Latitude: "nowhere" is not a number of degrees').waitFor();
  });

  it('lists names that are no oak of the table and lets them be settled', async () => {
    await dialog().getByRole('button', { name: 'Q. alba white oak' }).click();
    await dialog().getByText('Settled: Whit oak is Quercus alba').waitFor();
    await dialog().getByLabel('What Steineiche? means').selectOption('Leave it unknown');
    await dialog().getByText('Every name of a species is known.').waitFor();
    await picture(page, 'bring-columns');
    await dialog().getByRole('button', { name: 'Use these columns' }).click();
    await page.getByText('5 of 6 rows have a place.').waitFor();
    await page.getByRole('button', { name: 'Add this layer' }).click();
    await page.locator('.ledger').getByText('row 3').first().waitFor();
    await settled(page);
  });

  it('remembers the choice for the next table with the same headers, and says so', async () => {
    const next = join(dir, 'second-sheet.csv');
    writeFileSync(next, readFileSync(SHEET, 'utf8').replaceAll('H-', 'J-'));
    await bring(next);
    await page.getByText('as you chose them before').waitFor();
    await page.getByText('5 of 6 rows have a place.').waitFor();
    expect(await page.getByLabel('What it is').inputValue()).toBe('candidates');
    await page.getByRole('button', { name: /^Put away/ }).click();
  });

  it('lets the columns of a layer be chosen later, as one step that can be undone', async () => {
    await details('Candidates').click();
    await page.getByRole('button', { name: /^Choose columns/ }).click();
    await dialog().getByLabel('Tree number or tag', { exact: true }).selectOption('Stem');
    await dialog().getByRole('cell', { name: 'H-1' }).waitFor();
    await dialog().getByRole('button', { name: 'Use these columns' }).click();
    await page.locator('.ledger').getByText('H-2').first().waitFor();
    await settled(page);
    await page.getByRole('button', { name: /^Undo:/ }).click();
    await page.locator('.ledger').getByText('row 3').first().waitFor();
    await details('Candidates').click();
    await settled(page);
  });
});

describe('a layer whose file is missing', () => {
  const path = join(dir, 'without.zip');

  it('is told apart from what opens', async () => {
    await page.getByRole('button', { name: 'Workspace', exact: true }).click();
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as a file' }).click(),
    ]);
    await file.saveAs(path);
    const entries = unzipSync(new Uint8Array(readFileSync(path)));
    expect(Object.keys(entries).sort()).toEqual([
      'county.gpkg',
      'field-sheet.csv',
      'plan.json',
      'zones.dbf',
      'zones.prj',
      'zones.shp',
      'zones.shx',
    ]);
    const { 'county.gpkg': _gone, ...rest } = entries;
    writeFileSync(path, zipSync(rest));
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Workspace', exact: true }).click();
    await page.getByLabel('Workspace file').setInputFiles(path);
    // A workspace from a file opens at the parent set.
    await page.locator('.panel[aria-label="Parent set"]').waitFor();
    await page.getByText('Roads: its file is not in this workspace').waitFor();
    await page.getByRole('button', { name: 'Put away', exact: true }).click();
    await openLayers();
    await page.getByText('Its file county.gpkg is not in this workspace').waitFor();
  });

  it('says of another file of the same name that it is another', async () => {
    const other = join(dir, 'county.gpkg');
    writeFileSync(other, readFileSync('tests/fixtures/vectors/geopackage/own-crs.gpkg'));
    await bring(other);
    await page.getByText('Not the same file.').waitFor();
    await page.getByRole('button', { name: 'Use it for Roads all the same' }).waitFor();
    await picture(page, 'bring-another');
    await page.getByRole('button', { name: 'Use it for Roads all the same' }).click();
    await expect.poll(() => page.getByText('is not in this workspace').count()).toBe(0);
    // Taken knowingly, and taken back: the layer waits for its own file again.
    await page.getByRole('button', { name: 'Undo: Another file for Roads' }).click();
    await page.getByText('Its file county.gpkg is not in this workspace').waitFor();
  });

  it('takes its file back under any name', async () => {
    const renamed = join(dir, 'from-the-stick.gpkg');
    writeFileSync(renamed, readFileSync('tests/fixtures/vectors/geopackage/county.gpkg'));
    await bring(renamed);
    await page.getByText(/has its file back/).waitFor();
    await expect.poll(() => page.getByText('is not in this workspace').count()).toBe(0);
    await details('Roads').click();
    await page.getByText('2 lines', { exact: true }).waitFor();
    await details('Roads').click();
    await kept();
    await page.reload();
    await openLayers();
    await details('Roads').click();
    await page.getByText('2 lines', { exact: true }).waitFor();
  });
});

it('sent nothing to another origin, and the page complained of nothing', () => {
  const elsewhere = visit.requests.filter((r) => !r.startsWith(harness.url) && !/^(blob|data):/.test(r));
  expect(elsewhere).toEqual([]);
  expect(visit.complaints).toEqual([]);
});
