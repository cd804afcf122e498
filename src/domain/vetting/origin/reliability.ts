import { wilsonInterval } from '../../base/statistics.ts';
import type { ReliabilityBin } from './types.ts';

const BARS = 5;

/**
 * Predicted probability against the share that came true, in five bars of equal width (lower end included, the last one
 * both), with Wilson's 95 % interval of each share (Wilson 1927).
 * @param predicted probability of natural origin. @param natural what came of it; same length.
 */
export function reliability(predicted: ArrayLike<number>, natural: ArrayLike<boolean>): ReliabilityBin[] {
  const n = new Array<number>(BARS).fill(0);
  const sum = new Array<number>(BARS).fill(0);
  const came = new Array<number>(BARS).fill(0);
  for (let i = 0; i < predicted.length; i++) {
    const bar = Math.min(BARS - 1, Math.floor(predicted[i] * BARS));
    n[bar]++;
    sum[bar] += predicted[i];
    if (natural[i]) came[bar]++;
  }
  return n.map((count, bar) => ({
    from: bar / BARS,
    to: (bar + 1) / BARS,
    n: count,
    predicted: sum[bar] / count,
    observed: came[bar] / count,
    ...wilsonInterval(came[bar], count),
  }));
}

/** Mean squared error of the probabilities of a yes-or-no outcome, 0 best, 0.25 for always one half (Brier 1950, halved); NaN with none. */
export function brier(predicted: ArrayLike<number>, natural: ArrayLike<boolean>): number {
  let sum = 0;
  for (let i = 0; i < predicted.length; i++) sum += (predicted[i] - (natural[i] ? 1 : 0)) ** 2;
  return sum / predicted.length;
}
