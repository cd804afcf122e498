/** Serves the built app on a free port and drives Debian's Chromium; records all that a page asks for and complains of. */
import { mkdirSync } from 'node:fs';
import axe from 'axe-core';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { preview } from 'vite';

export interface Visit {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Every request of the page and its workers. */
  readonly requests: string[];
  /** Page errors, console errors and violations of the content security policy. */
  readonly complaints: string[];
}

export interface Harness {
  readonly url: string;
  visit(options?: {
    path?: string;
    width?: number;
    height?: number;
    scheme?: 'light' | 'dark';
    /** Before the page is asked for. */
    before?: (page: Page) => Promise<unknown>;
  }): Promise<Visit>;
  close(): Promise<void>;
}

const QUIET = [
  '--no-sandbox',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
  '--disable-quic',
];

export async function startHarness(): Promise<Harness> {
  const server = await preview({ preview: { port: 0, host: '127.0.0.1' }, logLevel: 'warn' });
  const url = server.resolvedUrls?.local[0] ?? '';
  const browser: Browser = await chromium.launch({
    executablePath: process.env['CHROMIUM_PATH'] ?? '/usr/bin/chromium',
    headless: true,
    args: QUIET,
  });
  return {
    url,
    async visit({ path = '', width = 1440, height = 900, scheme = 'light', before } = {}) {
      const context = await browser.newContext({
        viewport: { width, height },
        colorScheme: scheme,
        acceptDownloads: true,
        ...(width < 720 ? { hasTouch: true, isMobile: true } : {}),
      });
      const requests: string[] = [];
      const complaints: string[] = [];
      context.on('request', (r) => requests.push(r.url()));
      const page = await context.newPage();
      page.on('pageerror', (e) => complaints.push(`page error: ${e.stack ?? e.message}`));
      page.on('console', (m) => {
        // The software renderer of a test machine warns of its own slowness.
        if (
          m.type() === 'error' ||
          (m.type() === 'warning' && !/GPU stall|GL Driver|swiftshader/i.test(m.text()))
        )
          complaints.push(`${m.type()}: ${m.text()}`);
      });
      await page.addInitScript(() =>
        document.addEventListener('securitypolicyviolation', (e) =>
          console.error(`policy: ${e.violatedDirective} ${e.blockedURI}`),
        ),
      );
      await before?.(page);
      await page.goto(url + path);
      return { page, context, requests, complaints };
    },
    async close() {
      await browser.close();
      (server.httpServer as { closeAllConnections?(): void }).closeAllConnections?.();
      await server.close();
    },
  };
}

/** Waits until vetting, choice and route are done and the map is at rest. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(() => !document.querySelector('.line progress'), undefined, { timeout: 60_000 });
  await page.waitForFunction(() => document.documentElement.dataset['map'] === 'idle', undefined, {
    timeout: 60_000,
  });
}

export async function picture(page: Page, name: string): Promise<void> {
  mkdirSync('out/screens', { recursive: true });
  await page.screenshot({ path: `out/screens/${name}.png` });
}

/** The library's own markup of the map's surface. */
const MAP = '.maplibregl-canvas-container';

/** What the accessibility checks find on the page as it is, a line each; nothing: []. */
export async function faults(page: Page, leaveOut: readonly string[] = [MAP]): Promise<string[]> {
  await page.evaluate(axe.source);
  return page.evaluate(
    async (exclude) => {
      const { axe: checks } = window as unknown as {
        axe: { run(o: unknown): Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }> };
      };
      const { violations } = await checks.run(exclude.length > 0 ? { exclude } : {});
      return violations.map((v) => `${v.id} ${v.nodes.map((n) => n.target.join(' ')).join(' | ')}`);
    },
    leaveOut.map((selector) => [selector]),
  );
}
