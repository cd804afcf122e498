import type { Page } from '../state/selection.svelte.ts';
import type { Stage } from '../state/session.svelte.ts';

/** The stages of the job as the screen names them. */
export const stageTitles: Readonly<Record<Stage, string>> = {
  planting: 'Planting',
  layers: 'Layers',
  candidates: 'Candidates',
  parents: 'Parent set',
  scouting: 'Scouting',
};

/** Screens that take the panel's place beside them. */
export const pageTitles: Readonly<Record<Page, string>> = {
  where: 'Where to look',
  origin: 'Origin of the candidates',
  weights: 'Weights of the evidence',
};
