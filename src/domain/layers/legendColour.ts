/** Ink on dark paper, which is near white. */
export const DARK_INK = '#ece8dc';

/**
 * A colour of a layer's legend on the map of a scheme: as it is on light paper, a third of the way to the ink on dark
 * paper, where a colour chosen for light paper would sink.
 */
export function legendColour(colour: string, scheme: 'light' | 'dark'): `#${string}` {
  const channels = (hex: string): number[] => [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16));
  const ink = channels(DARK_INK);
  const share = scheme === 'dark' ? 0.35 : 0;
  const mixed = channels(colour).map((v, i) => Math.round(v + share * (ink[i] - v)));
  return `#${mixed.map((v) => v.toString(16).padStart(2, '0')).join('')}`;
}
