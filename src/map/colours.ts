import type { Ground } from '../domain/layers/landcover.ts';
export { MATCH_RAMP, matchRamp } from '../domain/vetting/match/matchRamp.ts';

/** The one source of colours for map, legends, tables and charts. Each has one meaning; nothing is told by colour alone. */
export interface Colours {
  readonly paper: string;
  readonly ink: string;
  readonly quiet: string;
  readonly rule: string;
  readonly accent: string;
  readonly onAccent: string;
  readonly natural: string;
  readonly unsettled: string;
  readonly planted: string;
  readonly unknown: string;
  readonly route: string;
}

export const LIGHT: Colours = {
  paper: '#f6f3ec',
  ink: '#23291f',
  quiet: '#5c6355',
  rule: '#d9d3c4',
  accent: '#3f5d2a',
  onAccent: '#ffffff',
  natural: '#1d6f6a',
  unsettled: '#b9812a',
  planted: '#8c3b5c',
  unknown: '#7a7f76',
  route: '#23291f',
};

export const DARK: Colours = {
  paper: '#1b1f18',
  ink: '#ece8dc',
  quiet: '#a9ad9d',
  rule: '#3b4135',
  accent: '#a3c383',
  onAccent: '#171b13',
  natural: '#63c2ba',
  unsettled: '#e0ae5b',
  planted: '#d889ab',
  unknown: '#9a9f94',
  route: '#ece8dc',
};

/**
 * Kinds of ground on the map: the hues of the National Land Cover Database legend, calmed, so that a wash of them lies beside
 * its classes without shouting.
 */
const GROUND_COLOURS: Readonly<Record<Ground, string>> = {
  water: '#5b86b5',
  'developed open': '#d9a7a0',
  developed: '#b84a3c',
  barren: '#b3ac9f',
  forest: '#4f8f4a',
  open: '#b9a74a',
  pasture: '#cfc440',
  crop: '#a5692f',
  wetland: '#6c9fb8',
};
export const groundColour = (ground: Ground, scheme: 'light' | 'dark'): `#${string}` =>
  legendColour(GROUND_COLOURS[ground], scheme);

export const coloursOf = (scheme: 'light' | 'dark'): Colours => (scheme === 'dark' ? DARK : LIGHT);

/**
 * A colour of a layer's legend on the map of a scheme: as it is on light paper, a third of the way to the ink on dark
 * paper, where a colour chosen for light paper would sink.
 */
export function legendColour(colour: string, scheme: 'light' | 'dark'): `#${string}` {
  const channels = (hex: string): number[] => [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16));
  const ink = channels(DARK.ink);
  const share = scheme === 'dark' ? 0.35 : 0;
  const mixed = channels(colour).map((v, i) => Math.round(v + share * (ink[i] - v)));
  return `#${mixed.map((v) => v.toString(16).padStart(2, '0')).join('')}`;
}
