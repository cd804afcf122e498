/** Axes of plots: round numbers where people expect them, on a straight or a logarithmic scale. */
export interface Axis {
  /** 0 at the low end, 1 at the high one; NaN for what has no logarithm. */
  place(x: number): number;
  readonly ticks: readonly number[];
  /** Decimals that tell the ticks apart. */
  readonly decimals: number;
}

/** Steps of 1, 2 or 5 times a power of ten, so that about `count` lie in the span. */
export function stepOf(span: number, count: number): number {
  const rough = span / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const over = rough / power;
  return power * (over < 1.5 ? 1 : over < 3.5 ? 2 : over < 7.5 ? 5 : 10);
}

/**
 * @param low,high ends of what is shown; equal ends are moved apart. @param log a logarithmic scale (low must be over 0).
 * @param count of ticks, about.
 */
export function axis(low: number, high: number, log: boolean, count = 4): Axis {
  const apart = high > low ? 0 : Math.max(Math.abs(low) * 0.01, 1e-6);
  const [from, to] = log ? [Math.log(low) - apart, Math.log(high) + apart] : [low - apart, high + apart];
  const step = log ? stepOf(Math.exp(to) - Math.exp(from), count) : stepOf(to - from, count);
  const [least, most] = log ? [Math.exp(from), Math.exp(to)] : [from, to];
  // Never minus nought, which would be written as such.
  const first = Math.ceil(least / step - 1e-9) || 0;
  const ticks: number[] = [];
  for (let i = first; i * step <= most + 1e-9 * step; i++) if (!log || i > 0) ticks.push(i * step);
  return {
    place: (x) => {
      const at = log ? Math.log(x) : x;
      return (at - from) / (to - from);
    },
    ticks,
    decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)),
  };
}
