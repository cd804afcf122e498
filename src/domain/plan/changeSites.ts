/** Edits of the sites of a planting. A gesture is one Change, also where it sets several sites. */
import type { MultiPolygon, Place } from '../base/geo.ts';
import { standPoint } from '../candidates/standPoint.ts';
import { areaIndex } from '../layers/areaIndex.ts';
import { editPlanting, plantingOf, type Change } from './change.ts';
import type { Plan, Planting, Site } from './schema.ts';
import { sitesOf, siteTitle } from './sites.ts';

/** Decimals of a degree that a plan keeps of a place that was clicked or read: about a centimetre. */
const DECIMALS = 1e7;

export interface NewSite {
  readonly name: string;
  /** null where it is an area: the place is then found inside it. */
  readonly place: Place | null;
  readonly area: MultiPolygon | null;
}

/** A site as the plan keeps it; null where there is neither a place nor an area with ground in it. */
export function siteOf({ name, place, area }: NewSite): Site | null {
  if (area === null) return place && { ...placed(place), name };
  const outline = area.map((polygon) =>
    polygon.map((ring) => ring.map(([x, y]): [number, number] => [kept(x), kept(y)])),
  );
  const inside = standPoint(outline);
  return inside && { ...placed(inside), name, area: outline };
}

/** One gesture, one step. */
export function addSites(plan: Plan, id: string, added: readonly Site[]): Change {
  const sites = sitesOf(plantingOf(plan, id));
  const note = added.length === 1 ? `Add ${added[0].name || 'a site'}` : `Add ${added.length} sites`;
  return setSites(plan, id, note, [...sites, ...added]);
}

/** Others take the place of all sites there are. */
export function replaceSites(plan: Plan, id: string, sites: readonly Site[]): Change {
  const note =
    sites.length === 1 ? `Plant at ${sites[0].name || 'another site'}` : `Plant at ${sites.length} sites`;
  return setSites(plan, id, note, sites);
}

/** Whether a site that is set to this place would lose its outline: it has one, and the place lies outside. */
export const leavesOutline = (site: Site, { lon, lat }: Place): boolean =>
  site.area !== undefined && areaIndex([site.area]).areaOf(lon, lat) < 0;

/** An outline goes with the place that stands for it: set elsewhere, the site is a point there. */
export function moveSite(plan: Plan, id: string, index: number, place: Place): Change {
  const planting = plantingOf(plan, id);
  const before = sitesOf(planting)[index];
  const { area, ...point } = { ...before, ...placed(place) };
  const dropped = leavesOutline(before, place);
  return setSite(
    plan,
    id,
    index,
    `Move ${inText(planting, index)}${dropped ? ' and drop its outline' : ''}`,
    area && !dropped ? { ...point, area } : point,
  );
}

export const nameSite = (plan: Plan, id: string, index: number, name: string): Change =>
  setSite(plan, id, index, 'Name a site', { ...sitesOf(plantingOf(plan, id))[index], name: name.trim() });

/** @throws where the outline has no ground in it: what draws and reads outlines refuses those. */
export function outlineSite(plan: Plan, id: string, index: number, area: MultiPolygon): Change {
  const planting = plantingOf(plan, id);
  const site = siteOf({ name: sitesOf(planting)[index].name, place: null, area });
  if (!site) throw new Error('an outline without area');
  return setSite(plan, id, index, `Draw the outline of ${inText(planting, index)}`, site);
}

/** An area becomes the point that stood for it. */
export function dropOutline(plan: Plan, id: string, index: number): Change {
  const planting = plantingOf(plan, id);
  const { area: _dropped, ...point } = sitesOf(planting)[index];
  return setSite(plan, id, index, `Drop the outline of ${inText(planting, index)}`, point);
}

/** The last one stays: a planting has a site. */
export function removeSite(plan: Plan, id: string, index: number): Change {
  const planting = plantingOf(plan, id);
  const sites = sitesOf(planting);
  const rest = sites.length > 1 ? sites.filter((_, i) => i !== index) : sites;
  return setSites(plan, id, `Remove ${inText(planting, index)}`, rest);
}

/** The others keep their order after it. */
export function makeFirst(plan: Plan, id: string, index: number): Change {
  const planting = plantingOf(plan, id);
  const sites = sitesOf(planting);
  return setSites(plan, id, `Make ${inText(planting, index)} the first`, [
    sites[index],
    ...sites.filter((_, i) => i !== index),
  ]);
}

const kept = (degrees: number): number => Math.round(degrees * DECIMALS) / DECIMALS;
const placed = ({ lon, lat }: Place): Place => ({ lon: kept(lon), lat: kept(lat) });

/** "the site" where it has no name of its own and is alone. */
const inText = (planting: Planting, index: number): string => {
  const title = siteTitle(planting, index);
  return title === 'Planting site' ? 'the site' : title;
};

const setSite = (plan: Plan, id: string, index: number, note: string, site: Site): Change =>
  setSites(plan, id, note, sitesOf(plantingOf(plan, id)).with(index, site));

const setSites = (plan: Plan, id: string, note: string, [site, ...moreSites]: readonly Site[]): Change =>
  editPlanting(plan, id, note, { site, moreSites });
