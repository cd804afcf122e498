import { DARK, LIGHT, type Colours } from '../../src/map/colours.ts';
import type { ReliabilityBin } from '../../src/domain/vetting/origin/types.ts';

const SIDE = 300;
const LEFT = 64;
const TOP = 44;
const WIDTH = 560;
const HEIGHT = TOP + SIDE + 62;

export interface Series {
  readonly title: string;
  readonly bins: readonly ReliabilityBin[];
  readonly mark: 'dot' | 'ring';
}

/** A reliability plot as SVG that follows the reader's light or dark scheme. The table beside it holds the same numbers. */
export function plotOf(title: string, series: readonly Series[]): string {
  const x = (p: number): string => (LEFT + p * SIDE).toFixed(1);
  const y = (p: number): string => (TOP + (1 - p) * SIDE).toFixed(1);
  const scheme = (c: Colours): string =>
    `.paper{fill:${c.paper}}.ink{fill:${c.ink}}.quiet{fill:${c.quiet}}.rule{stroke:${c.rule}}.axis{stroke:${c.quiet}}` +
    `.dot{fill:${c.natural};stroke:${c.natural}}.ring{fill:${c.paper};stroke:${c.planted}}`;
  const grid = [0, 0.2, 0.4, 0.6, 0.8, 1];
  const text = (cls: string, at: string, to: string, words: string, more = ''): string =>
    `<text class="${cls}" x="${at}" y="${to}"${more}>${words}</text>`;
  const marks = series.flatMap(({ bins, mark }, k) =>
    bins
      .filter((b) => b.n > 0)
      .flatMap((b) => {
        // Side by side, so that bars over one another can be told apart.
        const at = (LEFT + b.predicted * SIDE + (k - (series.length - 1) / 2) * 7).toFixed(1);
        return [
          `<line class="${mark}" x1="${at}" x2="${at}" y1="${y(b.low)}" y2="${y(b.high)}"${mark === 'ring' ? ' stroke-dasharray="3 2"' : ''}/>`,
          `<circle class="${mark}" cx="${at}" cy="${y(b.observed)}" r="5"><title>${b.n} trees: ${(100 * b.predicted).toFixed(1)} % predicted, ${(100 * b.observed).toFixed(1)} % natural</title></circle>`,
        ];
      }),
  );
  const legend = LEFT + SIDE + 24;
  return `${[
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}" role="img" aria-labelledby="t">`,
    `<title id="t">${title}</title>`,
    `<style>text{font:13px 'Source Sans 3',system-ui,sans-serif}.head{font:600 15px 'Source Serif 4',Georgia,serif}line,circle{stroke-width:1.6}.rule,.axis{stroke-width:1}${scheme(LIGHT)}@media (prefers-color-scheme:dark){${scheme(DARK)}}</style>`,
    `<rect class="paper" width="${WIDTH}" height="${HEIGHT}"/>`,
    text('head ink', String(LEFT), '24', title),
    ...grid.flatMap((p) => [
      `<line class="rule" x1="${x(p)}" x2="${x(p)}" y1="${y(0)}" y2="${y(1)}"/>`,
      `<line class="rule" x1="${x(0)}" x2="${x(1)}" y1="${y(p)}" y2="${y(p)}"/>`,
      text('quiet', x(p), String(TOP + SIDE + 18), String(Math.round(100 * p)), ' text-anchor="middle"'),
      text(
        'quiet',
        String(LEFT - 8),
        (Number(y(p)) + 4).toFixed(1),
        String(Math.round(100 * p)),
        ' text-anchor="end"',
      ),
    ]),
    `<line class="axis" x1="${x(0)}" y1="${y(0)}" x2="${x(1)}" y2="${y(1)}" stroke-dasharray="5 4"/>`,
    text(
      'ink',
      x(0.5),
      String(TOP + SIDE + 42),
      'predicted probability of natural origin, %',
      ' text-anchor="middle"',
    ),
    text(
      'ink',
      '18',
      y(0.5),
      'trees that were natural, %',
      ` text-anchor="middle" transform="rotate(-90 18 ${y(0.5)})"`,
    ),
    ...marks,
    ...series.flatMap(({ title: name, mark, bins }, k) => [
      `<circle class="${mark}" cx="${legend}" cy="${TOP + 14 + 40 * k}" r="5"/>`,
      text('ink', String(legend + 14), String(TOP + 18 + 40 * k), name),
      text(
        'quiet',
        String(legend + 14),
        String(TOP + 34 + 40 * k),
        `${bins.reduce((n, b) => n + b.n, 0)} trees`,
      ),
    ]),
    `<line class="axis" x1="${legend - 7}" x2="${legend + 7}" y1="${TOP + 14 + 40 * series.length}" y2="${TOP + 14 + 40 * series.length}" stroke-dasharray="5 4"/>`,
    text('ink', String(legend + 14), String(TOP + 18 + 40 * series.length), 'as predicted'),
    text('quiet', String(legend - 7), String(TOP + 46 + 40 * series.length), 'Bars: 95 % intervals'),
    '</svg>',
  ].join('\n')}\n`;
}
