/**
 * What the panel shows, each screen a file of its own that comes when it is first wanted; the others follow when the page has
 * nothing else to do, so that going on waits for nothing. Kept here once they are there: showing one again takes no turn.
 */
import type { Component } from 'svelte';
import type { Page } from '../state/selection.svelte.ts';
import type { Stage } from '../state/session.svelte.ts';

export type ScreenName = Stage | Page | 'sheet' | 'form';

const LOAD = {
  planting: () => import('./stages/planting/PlantingStage.svelte'),
  layers: () => import('./stages/layers/LayersStage.svelte'),
  candidates: () => import('./stages/candidates/CandidatesStage.svelte'),
  parents: () => import('./stages/parents/ParentsStage.svelte'),
  scouting: () => import('./stages/scouting/ScoutingStage.svelte'),
  sheet: () => import('./vetting-sheet/VettingSheet.svelte'),
  where: () => import('./where/WhereToLook.svelte'),
  origin: () => import('./origin/OriginReview.svelte'),
  weights: () => import('./weights/EvidenceWeights.svelte'),
  form: () => import('./stages/candidates/CandidateForm.svelte'),
} as const satisfies Record<ScreenName, () => Promise<{ default: unknown }>>;

type Screens = {
  readonly [N in ScreenName]?: Awaited<ReturnType<(typeof LOAD)[N]>>['default'];
};

export class PanelScreens {
  /** Those that have come. */
  loaded = $state.raw<Screens>({});

  async load(name: ScreenName): Promise<void> {
    if (this.loaded[name]) return;
    const { default: screen } = (await LOAD[name]()) as { default: Component };
    this.loaded = { ...this.loaded, [name]: screen };
  }

  /** Fetches them all, so that each is there at once when it is wanted; what is shown is left alone. */
  async fetchRest(): Promise<void> {
    for (const load of Object.values(LOAD)) await load();
  }
}
