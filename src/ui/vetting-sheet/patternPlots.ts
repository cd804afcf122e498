/** Shapes of the plots of a pattern: numbers in, places and paths of an SVG out. */
import type { PatternView } from '../../domain/candidates/pattern/types.ts';
import { stepOf } from '../parts/axis.ts';

export interface PlanFrame {
  readonly height: number;
  /** Pixels a metre. */
  readonly scale: number;
  /** Pixels of metres east and north. */
  x(east: number): number;
  y(north: number): number;
}

/**
 * Trees and window fitted into a width, north up, one scale both ways.
 * @param most height that is not passed. @param margin on all sides.
 */
export function planFrame(
  view: Pick<PatternView, 'x' | 'y' | 'window'>,
  width: number,
  most: number,
  margin: number,
): PlanFrame {
  const places = view.window.polygons.flat(2);
  const east = [...view.x, ...places.map((p) => p[0])];
  const north = [...view.y, ...places.map((p) => p[1])];
  const [west, right] = ends(east);
  const [south, top] = ends(north);
  const wide = Math.max(right - west, 1e-6);
  const high = Math.max(top - south, 1e-6);
  const scale = Math.min((width - 2 * margin) / wide, (most - 2 * margin) / high);
  const height = high * scale + 2 * margin;
  const left = (width - wide * scale) / 2;
  return { height, scale, x: (e) => left + (e - west) * scale, y: (n) => margin + (top - n) * scale };
}

/** Lowest and highest, however many. */
function ends(values: readonly number[]): [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const v of values) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  return low <= high ? [low, high] : [0, 0];
}

/** A round length of the user's unit, at most a third of the width. @param scale pixels a unit. */
export function scaleBar(scale: number, width: number): { readonly length: number; readonly pixels: number } {
  const most = width / 3 / scale;
  const step = stepOf(most, 1);
  const length = step <= most ? step : stepOf(most / 2.5, 1);
  return { length, pixels: length * scale };
}

/** Outline of the window as a path, rings and holes. */
export const windowPath = ({ window }: Pick<PatternView, 'window'>, frame: PlanFrame): string =>
  window.polygons
    .flat()
    .map((ring) => `M${ring.map(([e, n]) => `${px(frame.x(e))} ${px(frame.y(n))}`).join('L')}Z`)
    .join('');

/** Lines from each tree to its two nearest. */
export function neighbourPath(
  { x, y, neighbours }: Pick<PatternView, 'x' | 'y' | 'neighbours'>,
  frame: PlanFrame,
): string {
  let path = '';
  for (let i = 0; i < x.length; i++)
    for (const j of [neighbours[2 * i], neighbours[2 * i + 1]])
      if (j >= 0)
        path += `M${px(frame.x(x[i]))} ${px(frame.y(y[i]))}L${px(frame.x(x[j]))} ${px(frame.y(y[j]))}`;
  return path;
}

/**
 * Petals of a rose about 0, 0, each drawn to both sides: a direction and its opposite are one. The area of a petal goes with
 * its number.
 * @param radius of the largest.
 */
export function roseWedges(rose: readonly number[], radius: number): string[] {
  const most = Math.max(...rose, 1);
  const angle = Math.PI / rose.length;
  return rose.map((count, b) => {
    const r = radius * Math.sqrt(count / most);
    return [0, Math.PI]
      .map((half) => {
        const [from, to] = [half + b * angle, half + (b + 1) * angle];
        return `M0 0L${px(r * Math.cos(from))} ${px(-r * Math.sin(from))}A${px(r)} ${px(r)} 0 0 0 ${px(r * Math.cos(to))} ${px(-r * Math.sin(to))}Z`;
      })
      .join('');
  });
}

/** The same by compass bearing, from north: "0° to 10°" stands for its opposite as well. */
export function bearings(rose: readonly number[]): Array<{ from: number; to: number; count: number }> {
  const width = 180 / rose.length;
  return rose
    .map((count, b) => {
      const from = (((90 - (b + 1) * width) % 180) + 180) % 180;
      return { from, to: from + width, count };
    })
    .sort((a, b) => a.from - b.from);
}

/** A line that runs level over each bar. */
export const stepPath = (
  values: readonly number[],
  left: (bar: number) => number,
  y: (v: number) => number,
): string =>
  values
    .map((v, b) => `${b === 0 ? 'M' : 'L'}${px(left(b))} ${px(y(v))}L${px(left(b + 1))} ${px(y(v))}`)
    .join('');

/** The ground between two such lines. */
export const bandPath = (
  low: readonly number[],
  high: readonly number[],
  left: (bar: number) => number,
  y: (v: number) => number,
): string => {
  const back = low
    .map((v, b) => `L${px(left(b + 1))} ${px(y(v))}L${px(left(b))} ${px(y(v))}`)
    .reverse()
    .join('');
  return low.length === 0 ? '' : `${stepPath(high, left, y)}${back}Z`;
};

const px = (x: number): string => x.toFixed(1);
