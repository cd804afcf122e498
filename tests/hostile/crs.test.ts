/** Texts that should be coordinate systems: whatever they hold, there is a system or a sentence, and the work ends. */
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { crsFrom } from '../../src/io/crs/crs.ts';

// Texts by GDAL, see tests/fixtures/crs/texts.mjs.
const { systems } = JSON.parse(
  readFileSync(new URL('../fixtures/crs/texts.json', import.meta.url), 'utf8'),
) as { systems: Array<{ forms: Record<string, string> }> };
const texts = systems.flatMap((s) => Object.values(s.forms));

async function check(text: string): Promise<void> {
  const made = await crsFrom(text, 'file');
  if (!made.ok) {
    expect(made.failure).toMatchObject({ code: 'crs', where: 'file' });
    expect(made.failure.what).toMatch(/\w/);
    expect(made.failure.what.length).toBeLessThan(400);
    expect(made.failure.todo).toMatch(/\w/);
    return;
  }
  const system = made.value;
  const { x, y } = system.forward(Float64Array.of(-85, 500, NaN), Float64Array.of(40, -95, 3));
  const back = system.inverse(Float64Array.of(x[0], 1e300, NaN), Float64Array.of(y[0], -1e300, 3));
  expect(back.lon.length + back.lat.length).toBe(6);
}

describe('damaged texts of coordinate systems', () => {
  it('one piece cut out, doubled or replaced (seed 3857, 1,500 cases)', async () => {
    const piece = fc.constantFrom(
      '',
      '[',
      ']',
      '"',
      ',',
      '0',
      '-1e400',
      'NaN',
      'PROJCS[',
      '+proj=',
      '\u0000',
      '{',
      '9'.repeat(400),
    );
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...texts),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.nat(40),
        piece,
        async (text, at, length, put) => {
          const start = Math.floor(at * text.length);
          await check(text.slice(0, start) + put + text.slice(start + length));
        },
      ),
      { seed: 3857, numRuns: 1500 },
    );
  });

  it('anything at all (seed 4326, 500 cases)', async () => {
    const start = fc.constantFrom('', '+', '+proj=', 'EPSG:', 'PROJCS[', '{"type":', 'urn:ogc:def:crs:');
    await fc.assert(
      fc.asyncProperty(start, fc.string({ maxLength: 200 }), (a, b) => check(a + b)),
      { seed: 4326, numRuns: 500 },
    );
  });

  it('very long ones end at once', async () => {
    for (const text of [
      '+'.repeat(300_000),
      '+a=1 '.repeat(60_000),
      'GEOGCS["' + 'x'.repeat(300_000),
      '9'.repeat(300_000),
      '{'.repeat(100_000),
    ])
      await check(text);
  });
});
