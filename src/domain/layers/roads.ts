import type { Attributes } from '../base/geo.ts';

/**
 * Values of the open tag "highway" that a car or truck drives on. Tracks (farm and forest roads) count: a scouting truck
 * uses them.
 */
const DRIVABLE = new Set([
  'motorway',
  'trunk',
  'primary',
  'secondary',
  'tertiary',
  'unclassified',
  'residential',
  'living_street',
  'service',
  'road',
  'track',
]);

/**
 * Whether a road line can be driven, from its tags "highway" and "motor_vehicle". A line without the tag "highway" is taken
 * as drivable: most road layers hold roads for vehicles only.
 */
export function drivable(attributes: Attributes): boolean {
  const highway = word(attributes, 'highway');
  if (word(attributes, 'motor_vehicle') === 'no') return false;
  return highway === '' || DRIVABLE.has(highway.replace(/_link$/, ''));
}

/** Usual width of a carriageway by the tag "highway", metres (ours). */
const WIDTHS: Readonly<Record<string, number>> = {
  motorway: 11,
  trunk: 10,
  primary: 8,
  secondary: 7,
  tertiary: 6,
  unclassified: 5.5,
  residential: 6,
  living_street: 5,
  service: 4,
  track: 3,
  pedestrian: 4,
  path: 1.5,
  footway: 1.5,
  cycleway: 2.5,
  bridleway: 2,
  steps: 1.5,
};
const LINK = 5;
const USUAL = 6;
const LANE = 3.5;
const WIDEST = 100;
const MOST_LANES = 20;
const METRES: Readonly<Record<string, number>> = { '': 1, m: 1, ft: 0.3048, "'": 0.3048 };

/**
 * Half the width of a road, metres: of the width that the line says (tag "width", in metres unless it names feet), else of its
 * lanes at 3.5 m, else of what is usual for its class (ours).
 */
export function halfWidth(attributes: Attributes): number {
  const written = /^(\d+(?:\.\d+)?)\s*(m|ft|')?\.?$/.exec(word(attributes, 'width'));
  const width = written ? Number(written[1]) * METRES[(written[2] as string | undefined) ?? ''] : NaN;
  if (width > 0 && width <= WIDEST) return width / 2;
  const lanes = Number(word(attributes, 'lanes'));
  if (lanes > 0 && lanes <= MOST_LANES) return (lanes * LANE) / 2;
  const highway = word(attributes, 'highway');
  return (highway.endsWith('_link') ? LINK : (WIDTHS[highway] ?? USUAL)) / 2;
}

function word(attributes: Attributes, tag: string): string {
  const key = Object.keys(attributes).find((k) => k.toLowerCase() === tag);
  const value = key === undefined ? null : attributes[key];
  return typeof value === 'string' || typeof value === 'number' ? String(value).trim().toLowerCase() : '';
}
