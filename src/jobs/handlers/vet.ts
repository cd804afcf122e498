/**
 * The vetting of all candidates for one planting: measures, then match, origin, rules, standing and weight. The worker and
 * the command call this same function.
 */
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { adjacencyOf } from '../../domain/layers/contacts.ts';
import { uncounted } from '../../domain/layers/landcover.ts';
import { SETTINGS } from '../../domain/layers/settings.ts';
import type { Plan, Planting } from '../../domain/plan/schema.ts';
import { growthFactors } from '../../domain/species/growth.ts';
import { resolveSpecies } from '../../domain/species/species.ts';
import { origin } from '../../domain/vetting/origin/origin.ts';
import { weightNotes } from '../../domain/vetting/origin/weights.ts';
import { weightsOf } from '../../domain/vetting/origin/weightsOf.ts';
import { findings } from '../../domain/vetting/rules/rules.ts';
import { NO_SITE } from '../../domain/vetting/rules/types.ts';
import { standing } from '../../domain/vetting/standing.ts';
import type { Vetting, ZoneSummary } from '../../domain/vetting/vetting.ts';
import { weight } from '../../domain/vetting/weight.ts';
import { editedCandidates } from './candidates.ts';
import { adjacencyTable, TANGLED } from './contacts.ts';
import { followPlan, layersOf, type Desk, type OpenLayer } from './desk.ts';
import { matchColumns, type MatchResult } from './matchColumns.ts';
import { measure } from './measure.ts';
import { memoOf } from './memo.ts';
import { openVariables } from './openVariables.ts';
import { readSites } from './readSites.ts';
import { sitesToRead } from './siteValues.ts';
import { zonesLayer, zoneShapes } from './zonesOn.ts';

/** Sites are numbered in one byte, of which one number stands for none. */
const MOST_SITES = NO_SITE;

export async function vet(
  desk: Desk,
  plan: Plan,
  planting: Planting,
  key: string,
  work: Work,
): Promise<Result<Vetting>> {
  followPlan(desk, plan.layers);
  const joined = editedCandidates(desk, plan.candidates);
  if (!joined.ok) return joined;
  const { candidates } = joined.value;
  if (candidates.n === 0)
    return fail(
      'content',
      'Candidates',
      'there are none to vet',
      'Add a table of candidates in the Layers stage.',
    );
  const { rules } = planting;
  const toRead = sitesToRead(planting);
  if (toRead.length > MOST_SITES)
    return fail(
      'content',
      planting.title,
      `has ${toRead.length} sites, and at most ${MOST_SITES} can be compared`,
      'Split it into several plantings.',
    );
  const memo = memoOf(desk);
  const notes = [...layerNotes(desk), ...growthNotes(plan)];

  const measured = await measure(desk, candidates, toRead, rules.hybrid.radius, plan.evidence, work, memo);
  if (!measured.ok) return measured;
  const { measures, provenance } = measured.value;

  const zones = zonesLayer(desk)?.zones ?? null;
  const table = adjacencyTable(desk, rules.zone.snap);
  const summary: ZoneSummary = {
    keys: zones?.map((z) => z.key) ?? [],
    names: zones?.map((z) => z.name || z.key) ?? [],
    adjacency: table && !table.gaveUp ? adjacencyOf(table.rows, table.snap) : null,
  };

  if (table?.gaveUp) notes.push(`Zones: the layer ${TANGLED}; only the home zone is known`);
  for (const { a, b } of table?.stray ?? [])
    notes.push(`Zones: the contact set by hand of ${a} and ${b} names a zone that is not there`);

  const variables = openVariables(desk, planting, plan.layers);
  const read = await readSites(desk, toRead, variables.ok ? variables.value : [], work, memo);
  if (!read.ok) return read;
  const { sites, compared } = read.value;
  notes.push(...read.value.notes);
  const matched = !variables.ok
    ? variables
    : !compared.ok
      ? compared
      : await matchColumns(
          variables.value,
          compared.value,
          candidates,
          zoneShapes(desk),
          planting.spread,
          work,
          memo,
        );
  // Without a match the rest of the vetting still stands; the sheet and the rule say that the match is unknown.
  let match: MatchResult | null = null;
  if (matched.ok) match = matched.value;
  else if (matched.failure.code === 'variables')
    notes.push(`Match is unknown: ${matched.failure.where} ${matched.failure.what}. ${matched.failure.todo}`);
  else return matched;
  if (match) notes.push(...match.notes);

  work.progress?.(0, 1, 'rules asked');
  await work.pause?.();
  if (plan.originWeights)
    notes.push(...weightNotes(plan.originWeights).map((n) => `Origin: ${n.where}: ${n.what}`));
  const weights = weightsOf(plan);
  const judged = origin(
    { candidates, measures, settingNames: SETTINGS, settings: plan.evidence },
    weights,
    plan.statements,
  );
  const species = resolveSpecies(planting.species).species;
  const columns = match?.columns ?? null;
  const found = findings(
    { candidates, measures, match: columns, origin: judged, sites, zones: summary, species },
    rules,
  );
  const stood = standing(found, candidates.id, planting.overrides);
  notes.push(...stood.notes.map((n) => `${n.where}: ${n.what}`));
  return ok({
    key,
    plantingId: planting.id,
    n: candidates.n,
    measures,
    provenance,
    sites,
    zones: summary,
    settingNames: SETTINGS,
    evidence: plan.evidence,
    weights,
    match: columns,
    spread: match?.spread ?? null,
    origin: judged,
    findings: found,
    standing: stood.standing,
    overridden: stood.overridden,
    weight: weight(candidates, columns, judged, found, stood.standing, planting.parents),
    notes,
  });
}

const growthNotes = ({ evidence }: Plan): string[] =>
  growthFactors(evidence.growth).unread.map(
    (name) =>
      `Age from diameter: the growth factor of "${name}" is not used, since the name stands for no single oak; give a scientific name such as Quercus macrocarpa`,
  );

/** What the layers that were measured leave unknown, or unused. */
function layerNotes(desk: Desk): string[] {
  const title = (l: OpenLayer): string => l.entry.title ?? l.definition.title;
  const [used, ...unused] = layersOf(desk, 'zones');
  const notes = unused.map((l) => `${title(l)}: not used; zones are read from ${title(used)}`);
  for (const layer of layersOf(desk, 'land-cover')) {
    const { entry, figures, opened } = layer;
    const what = figures ? uncounted(entry, figures.classes, opened.classes ?? []) : null;
    if (what !== null) notes.push(`${title(layer)}: ${what}`);
  }
  return notes;
}
