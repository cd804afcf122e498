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

function word(attributes: Attributes, tag: string): string {
  const key = Object.keys(attributes).find((k) => k.toLowerCase() === tag);
  const value = key === undefined ? null : attributes[key];
  return typeof value === 'string' ? value.trim().toLowerCase() : '';
}
