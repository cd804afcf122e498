import type { Stage } from '../state/session.svelte.ts';

/** The stages of the job as the screen names them. */
export const stageTitles: Readonly<Record<Stage, string>> = {
  planting: 'Planting',
  layers: 'Layers',
  candidates: 'Candidates',
  parents: 'Parent set',
  scouting: 'Scouting',
};
