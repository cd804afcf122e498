import { DARK_INK } from '../domain/layers/legendColour.ts';

export { legendColour } from '../domain/layers/legendColour.ts';
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
  ink: DARK_INK,
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

export const coloursOf = (scheme: 'light' | 'dark'): Colours => (scheme === 'dark' ? DARK : LIGHT);
