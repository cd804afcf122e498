/** The screen and the map have one set of colours: the custom properties of the theme are those of map/colours.ts. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { coloursOf, legendColour, MATCH_RAMP, matchRamp } from '../../src/map/colours.ts';

const css = readFileSync('src/ui/theme.css', 'utf8');

/** Custom properties of the first rule with this selector. */
function properties(selector: string): Map<string, string> {
  const from = css.indexOf(`${selector} {`);
  expect(from).toBeGreaterThanOrEqual(0);
  const body = css.slice(css.indexOf('{', from) + 1, css.indexOf('}', from));
  return new Map([...body.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6});/g)].map((m) => [m[1], m[2]]));
}

/** Relative luminance and contrast of WCAG 2.2 (W3C Recommendation 2023, definitions). */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const v = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
const contrast = (a: string, b: string): number => {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
};

describe.each(['light', 'dark'] as const)('the colours of the %s scheme', (scheme) => {
  const c = coloursOf(scheme);

  it('are the same on the screen and on the map', () => {
    const theme = properties(scheme === 'light' ? ':root' : "[data-scheme='dark']");
    for (const name of ['paper', 'ink', 'quiet', 'rule', 'accent', 'natural', 'planted'] as const)
      expect([name, theme.get(name)]).toEqual([name, c[name]]);
    expect(theme.get('on-accent')).toBe(c.onAccent);
    expect(theme.get('unsettled-mark')).toBe(c.unsettled);
  });

  it('let text be read on paper: 4.5 to 1, the least for text in WCAG 2.2', () => {
    for (const text of [c.ink, c.quiet, c.accent]) expect(contrast(text, c.paper)).toBeGreaterThan(4.5);
    expect(contrast(c.onAccent, c.accent)).toBeGreaterThan(4.5);
  });

  it('let marks be seen on paper: 3 to 1, the least for graphics in WCAG 2.2', () => {
    for (const mark of [c.natural, c.planted, c.unsettled, c.unknown])
      expect(contrast(mark, c.paper)).toBeGreaterThan(3);
  });
});

describe('the match ramp', () => {
  it('goes darker step by step', () => {
    const steps = MATCH_RAMP.map(luminance);
    for (let i = 1; i < steps.length; i++) expect(steps[i]).toBeLessThan(steps[i - 1]);
  });
  it('goes lighter step by step on dark paper, from near the paper to near the ink', () => {
    const steps = matchRamp('dark').map(luminance);
    for (let i = 1; i < steps.length; i++) expect(steps[i]).toBeGreaterThan(steps[i - 1]);
    expect(contrast(matchRamp('dark')[0], coloursOf('dark').paper)).toBeLessThan(1.5);
    expect(contrast(matchRamp('dark')[4], coloursOf('dark').paper)).toBeGreaterThan(10);
  });
  it('has as many steps on both papers', () => {
    expect(matchRamp('dark')).toHaveLength(matchRamp('light').length);
  });
});

describe('a colour of a legend', () => {
  it('is itself on light paper and nearer to the ink on dark paper', () => {
    expect(legendColour('#8a7f70', 'light')).toBe('#8a7f70');
    const dark = legendColour('#3f5d2a', 'dark');
    expect(contrast(dark, coloursOf('dark').paper)).toBeGreaterThan(
      contrast('#3f5d2a', coloursOf('dark').paper),
    );
  });
});
