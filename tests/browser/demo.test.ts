/** The demo workspace as `npm start` opens it: on the map, right on every screen, accessible. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

describe('the demo workspace', () => {
  it('has its members on the map soon after the load event (npm run bench times it)', async () => {
    const { page, complaints } = await harness.visit();
    await page.waitForLoadState('load');
    const loaded = Date.now();
    await page.waitForFunction(
      () =>
        document.querySelectorAll('.panel tbody .tree').length >= 10 &&
        document.documentElement.dataset['map'] === 'idle',
    );
    const seconds = (Date.now() - loaded) / 1000;
    console.log(`members on the map after ${seconds.toFixed(2)} s`);
    expect(await page.locator('.verdict').innerText()).toContain('10 mother trees, proven best');
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  it('says what holds back the planting whose home zone has too few', async () => {
    const { page } = await harness.visit();
    await page.waitForSelector('.verdict');
    await page
      .getByLabel('Planting', { exact: true })
      .selectOption({ label: 'Chestnut oak for the Notional Ridges' });
    await expect
      .poll(() =>
        page
          .locator('.verdict')
          .innerText()
          .catch(() => ''),
      )
      .toContain('6 of 10 can be had');
    expect(await page.locator('.panel').innerText()).toMatch(/What holds it back[\s\S]*Zone/);
    await settled(page);
    await picture(page, 'fewer');
    await page.context().close();
  });

  it('answers why a tree is not in the set', async () => {
    const { page } = await harness.visit();
    await page.waitForSelector('.verdict');
    await page.keyboard.press('3');
    const eligible = page.locator('.ledger tr.entry', { hasNot: page.locator('svg .member') }).first();
    await eligible.click();
    await page.getByRole('button', { name: 'Why not this tree?' }).click();
    await page.getByText(/It would displace/).waitFor();
    await picture(page, 'why-not');
    await page.context().close();
  });

  for (const scheme of ['light', 'dark'] as const) {
    for (const [width, height] of [
      [1440, 900],
      [390, 844],
    ]) {
      it(`passes the accessibility checks at ${width} x ${height}, ${scheme}, on every stage and the sheet`, async () => {
        const { page } = await harness.visit({ width, height, scheme });
        await page.waitForSelector('.verdict');
        await settled(page);
        const found: string[] = [];
        for (const stage of ['Planting', 'Layers', 'Candidates', 'Scouting', 'Parent set', 'sheet']) {
          if (stage === 'sheet') await page.locator('.panel .tree').first().click();
          else {
            const button = page.getByRole('navigation').getByRole('button', { name: stage });
            // The open stage's own button would put the panel away.
            if ((await button.getAttribute('aria-current')) !== 'step') await button.click();
          }
          await page.waitForTimeout(150);
          await picture(page, `${stage.toLowerCase().replace(' ', '-')}-${width}-${scheme}`);
          for (const fault of await faults(page)) found.push(`${stage}: ${fault}`);
        }
        expect(found).toEqual([]);
        await page.context().close();
      });
    }
  }

  it('says so when the machine cannot draw a map, and goes on without it', async () => {
    const { page } = await harness.visit({ path: '?nomap' });
    await page.addInitScript(() => {
      // eslint-disable-next-line @typescript-eslint/unbound-method -- put back on the same prototype
      const get = HTMLCanvasElement.prototype.getContext;
      HTMLCanvasElement.prototype.getContext = function (
        this: HTMLCanvasElement,
        kind: string,
        ...rest: unknown[]
      ) {
        return /webgl/.test(kind)
          ? null
          : (get as (k: string, ...r: unknown[]) => unknown).call(this, kind, ...rest);
      } as typeof get;
    });
    await page.reload();
    await page.getByText('No map.').waitFor();
    expect(await page.locator('.verdict').innerText()).toContain('10 mother trees');
    await page.context().close();
  });
});
