/** Work on the sites of the present planting: set by a click, drawn, taken from a file. What is done goes through `apply`. */
import type { Box, MultiPolygon, Place } from '../domain/base/geo.ts';
import type { Change } from '../domain/plan/change.ts';
import {
  addSites,
  leavesOutline,
  moveSite,
  outlineSite,
  removeSite,
  replaceSites,
  makeFirst,
  siteOf,
} from '../domain/plan/changeSites.ts';
import type { Plan, Planting, Site } from '../domain/plan/schema.ts';
import { sitesBox, sitesOf, siteTitle } from '../domain/plan/sites.ts';
import { Drawing } from './drawing.svelte.ts';
import type { SiteFileState } from './siteFile.svelte.ts';

/** Its number in the planting, from 0; 'new': one that is added. */
export type SiteTarget = number | 'new';

interface Parts {
  readonly plan: () => Plan;
  readonly planting: () => Planting | null;
  readonly apply: (change: Change) => void;
  readonly say: (text: string) => void;
  readonly file: SiteFileState;
}

export class SiteWork {
  /** What the next click on the map sets, while the selection is picking a site. */
  target = $state<SiteTarget>(0);
  /** The site that is unfolded where there are several. */
  open = $state(0);
  /** What is drawn, and for which site; null: nothing. */
  drawing = $state.raw<Drawing | null>(null);
  /** What the map is asked to show whole: another object, another wish. */
  wanted = $state.raw<Box | null>(null);
  readonly file: SiteFileState;
  #of: SiteTarget = 'new';
  #parts: Parts;

  constructor(parts: Parts) {
    this.#parts = parts;
    this.file = parts.file;
  }

  /** What is set or drawn now, in words: "Ridge field", "a new site". */
  name(target: SiteTarget): string {
    const planting = this.#parts.planting();
    if (target === 'new' || !planting) return 'a new site';
    return siteTitle(planting, target).replace(/^Planting site$/, 'the planting site');
  }

  get drawn(): string {
    return this.name(this.#of);
  }

  /** A click on the map, or what was typed. */
  put(target: SiteTarget, place: Place): void {
    const planting = this.#parts.planting();
    if (!planting) return;
    if (target === 'new') return this.add([siteOf({ name: '', place, area: null })]);
    const site = sitesOf(planting).at(target);
    if (!site) return;
    const dropped = leavesOutline(site, place);
    this.#parts.apply(moveSite(this.#parts.plan(), planting.id, target, place));
    if (dropped)
      this.#parts.say(
        `${siteTitle(planting, target)} is a point now: the place lies outside its outline. Undo brings the outline back.`,
      );
  }

  startDrawing(of: SiteTarget): void {
    this.#of = of;
    this.drawing = new Drawing();
  }

  stopDrawing(): void {
    this.drawing = null;
  }

  /** False where the outline cannot be closed as it is: the drawing says why. */
  closeDrawing(): boolean {
    const area = this.drawing?.close() ?? null;
    const planting = this.#parts.planting();
    if (!area || !planting) return false;
    this.drawing = null;
    this.outline(this.#of, area);
    return true;
  }

  outline(of: SiteTarget, area: MultiPolygon): void {
    const planting = this.#parts.planting();
    if (!planting) return;
    // Taken out meanwhile (by an undo): what was drawn is not lost.
    if (of === 'new' || of >= sitesOf(planting).length)
      return this.add([siteOf({ name: '', place: null, area })]);
    this.#parts.apply(outlineSite(this.#parts.plan(), planting.id, of, area));
  }

  /** Those without ground in them are left out by who made them. The first of the new ones is unfolded. */
  add(sites: ReadonlyArray<Site | null>): void {
    const planting = this.#parts.planting();
    const good = sites.filter((s) => s !== null);
    if (!planting || good.length === 0) return;
    this.#parts.apply(addSites(this.#parts.plan(), planting.id, good));
    this.open = sitesOf(planting).length;
  }

  replace(sites: ReadonlyArray<Site | null>): void {
    const planting = this.#parts.planting();
    const good = sites.filter((s) => s !== null);
    if (!planting || good.length === 0) return;
    this.#parts.apply(replaceSites(this.#parts.plan(), planting.id, good));
    this.open = 0;
  }

  makeFirst(index: number): void {
    const planting = this.#parts.planting();
    if (!planting) return;
    this.#parts.apply(makeFirst(this.#parts.plan(), planting.id, index));
    this.open = 0;
  }

  remove(index: number): void {
    const planting = this.#parts.planting();
    if (!planting) return;
    this.#parts.apply(removeSite(this.#parts.plan(), planting.id, index));
    this.open = Math.max(0, index - 1);
  }

  /** The map shows them whole. */
  show(sites: readonly Site[]): void {
    this.wanted = sites.length > 0 ? sitesBox(sites) : null;
  }

  /** Another planting, or another workspace. */
  clear(): void {
    this.drawing = null;
    this.open = 0;
    this.wanted = null;
    this.file.putAway();
  }
}
