/** The table of jobs, each against the desk of its worker. */
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { scoutingDay } from '../../domain/scouting/day.ts';
import { refit } from '../../domain/vetting/origin/refit.ts';
import { fingerprint } from '../../io/fingerprint.ts';
import { blobSource } from '../../io/source/blob.ts';
import { urlSource } from '../../io/source/url.ts';
import type { Source } from '../../io/source.ts';
import type { Bytes, JobName, Jobs } from '../protocol.ts';
import { atSites } from './atSites.ts';
import { basemapTile, openBasemap } from './basemap.ts';
import { choose, whyNot } from './choose.ts';
import type { Desk } from './desk.ts';
import { candidatesOf } from './candidates.ts';
import { contacts } from './contacts.ts';
import { inspectSource } from './inspect.ts';
import { drawEvidence } from './drawEvidence.ts';
import { forget, openLayer } from './open.ts';
import { openComputed } from './openComputed.ts';
import { patternAt } from './patternAt.ts';
import { points } from './points.ts';
import { rankZones } from './rankZones.ts';
import { siteOutlines } from './siteOutlines.ts';
import { spread } from './spread.ts';
import { surface } from './surface.ts';
import { surfaceTile } from './surfaceTile.ts';
import { preview, survey } from './survey.ts';
import { systems } from './systems.ts';
import { tile } from './tile.ts';
import { vet } from './vet.ts';
import { viewOf } from './view.ts';

type Handler<J extends JobName> = (
  desk: Desk,
  input: Jobs[J]['input'],
  work: Work,
) => Promise<Result<Jobs[J]['output']>>;

const sourceOf = (bytes: Bytes): Source =>
  bytes.kind === 'blob' ? blobSource(bytes.name, bytes.blob, bytes.beside) : urlSource(bytes.url);

export const handlers: { readonly [J in JobName]: Handler<J> } = {
  inspect: (desk, { bytes, reading }, work) => inspectSource(desk, sourceOf(bytes), reading, work),
  preview: (_desk, input) => preview(input),
  survey: (desk, input, work) => survey(desk, input, sourceOf(input.bytes), work),
  systems: (_desk, input) => systems(input),
  fingerprint: (_desk, { bytes }) => fingerprint(sourceOf(bytes)),
  open: async (desk, { entry, bytes }, work) => {
    const layer =
      bytes === null
        ? await openComputed(desk, entry, work)
        : await openLayer(desk, entry, sourceOf(bytes), work);
    return layer.ok ? ok(viewOf(layer.value)) : layer;
  },
  close: (desk, { id }) => {
    forget(desk, id);
    return Promise.resolve(ok(null));
  },
  candidates: (desk) => Promise.resolve(candidatesOf(desk)),
  vet: (desk, { plan, plantingId, key }, work) => {
    const planting = plan.plantings.find((p) => p.id === plantingId);
    if (!planting)
      return Promise.resolve(
        fail('plan', plantingId, 'is not among the plantings', 'Choose another planting.'),
      );
    return vet(desk, plan, planting, key, work);
  },
  contacts: (desk, input) => Promise.resolve(contacts(desk, input)),
  spread: (desk, input, work) => spread(desk, input, work),
  atSites: (desk, input, work) => atSites(desk, input, work),
  surfaceTile: (desk, input, work) => surfaceTile(desk, input, work),
  surface: (desk, input, work) => surface(desk, input, work),
  rankZones: (desk, input, work) => rankZones(desk, input, work),
  siteOutlines: (_desk, { bytes, reading, near }, work) => siteOutlines(sourceOf(bytes), reading, near, work),
  drawEvidence: (desk, input) => drawEvidence(desk, input),
  pattern: (desk, input, work) => patternAt(desk, input, work),
  refit: (_desk, { columns, table, outcomes, version }) =>
    Promise.resolve(ok(refit(columns, table, outcomes, version))),
  choose: (_desk, input, work) => choose(input, work),
  whyNot: (_desk, input, work) => whyNot(input, work),
  route: (_desk, input) => Promise.resolve(ok(scoutingDay(input))),
  points: (_desk, input) => Promise.resolve(ok(points(input))),
  tile: (desk, input) => tile(desk, input),
  openBasemap: (desk, { bytes }) => openBasemap(desk, sourceOf(bytes)),
  basemapTile: (desk, input) => basemapTile(desk, input),
};
