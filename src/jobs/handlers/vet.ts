/**
 * The vetting of all candidates for one planting: measures, then match, origin, rules, standing and weight. The worker and
 * the command call this same function.
 */
import { layerDefinition } from '../../../layers/index.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { adjacencyOf } from '../../domain/layers/contacts.ts';
import { uncounted } from '../../domain/layers/landcover.ts';
import { SETTINGS } from '../../domain/layers/settings.ts';
import type { LayerEntry, Plan, Planting } from '../../domain/plan/schema.ts';
import { resolveSpecies } from '../../domain/species/species.ts';
import { origin } from '../../domain/vetting/origin/origin.ts';
import { builtInWeights } from '../../domain/vetting/origin/weights.ts';
import { findings } from '../../domain/vetting/rules/rules.ts';
import { standing } from '../../domain/vetting/standing.ts';
import type { SiteValues, Vetting, ZoneSummary } from '../../domain/vetting/vetting.ts';
import { weight } from '../../domain/vetting/weight.ts';
import { editedCandidates } from './candidates.ts';
import { adjacencyTable, TANGLED } from './contacts.ts';
import { followPlan, layersOf, type Desk, type OpenLayer } from './desk.ts';
import { reliefAt } from './ground.ts';
import { matchColumns, type MatchResult, type MatchVariable } from './matchColumns.ts';
import { measure } from './measure.ts';
import { memoOf, type Memo } from './memo.ts';
import { zonesLayer, zoneShapes, zonesOn } from './zonesOn.ts';

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
  const { site, rules } = planting;
  const memo = memoOf(desk);
  const notes = layerNotes(desk);

  const measured = await measure(desk, candidates, site, rules.hybrid.radius, work, memo);
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

  const matched = await matchOf(desk, plan, planting, candidates, work, memo);
  // Without a match the rest of the vetting still stands; the sheet and the rule say that the match is unknown.
  let match: MatchResult | null = null;
  if (matched.ok) match = matched.value;
  else if (matched.failure.code === 'variables')
    notes.push(`Match is unknown: ${matched.failure.where} ${matched.failure.what}. ${matched.failure.todo}`);
  else return matched;
  if (match) notes.push(...match.notes);

  work.progress?.(0, 1, 'rules asked');
  await work.pause?.();
  const judged = origin(
    candidates,
    measures,
    plan.originWeights ?? builtInWeights,
    plan.statements,
    SETTINGS,
  );
  const read = match ? Array.from(match.site) : null;
  const siteValues: SiteValues = {
    ...site,
    elevation: await elevationAt(desk, site.lon, site.lat, work),
    zone: zonesOn(desk)?.zoneOf(site.lon, site.lat) ?? -1,
    reading: read && { values: read, low: read, high: read, now: read, cells: 0 },
  };
  const species = resolveSpecies(planting.species).species;
  const columns = match?.columns ?? null;
  const found = findings(
    { candidates, measures, match: columns, origin: judged, sites: [siteValues], zones: summary, species },
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
    sites: [siteValues],
    zones: summary,
    settingNames: SETTINGS,
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

async function elevationAt(desk: Desk, lon: number, lat: number, work: Work): Promise<number> {
  const relief = await reliefAt(
    layersOf(desk, 'elevation'),
    Float64Array.of(lon),
    Float64Array.of(lat),
    work,
  );
  return relief.ok ? relief.value.elevation[0] : NaN;
}

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

async function matchOf(
  desk: Desk,
  plan: Plan,
  planting: Planting,
  candidates: Parameters<typeof matchColumns>[2],
  work: Work,
  memo: Memo,
): Promise<Result<MatchResult>> {
  const variables: MatchVariable[] = [];
  for (const id of planting.variables) {
    const variable = variableOf(desk, plan, planting, id);
    if (!variable.ok) return variable;
    variables.push(variable.value);
  }
  return matchColumns(variables, planting.site, candidates, zoneShapes(desk), planting.spread, work, memo);
}

/** One variable with the raster the candidates are read from, and the one the site is read from where its period differs. */
function variableOf(desk: Desk, plan: Plan, planting: Planting, id: string): Result<MatchVariable> {
  const entry = plan.layers.find((l) => l.id === id);
  const layer = desk.layers.get(id);
  const title = entry?.title ?? (entry ? (layerDefinition(entry.definition)?.title ?? id) : id);
  if (!entry || layer?.opened.content.kind !== 'raster')
    return fail(
      'variables',
      title,
      'is not open',
      'See what is wrong with it in the Layers stage, or leave this variable out.',
    );
  const { definition } = layer;
  let siteLayer = layer;
  if (planting.sitePeriod !== '' && definition.role === 'climate' && planting.sitePeriod !== entry.period) {
    const twin = twinOf(desk, entry, planting.sitePeriod);
    if (!twin)
      return fail(
        'variables',
        title,
        `has no layer of the period ${planting.sitePeriod} for the site`,
        'Add it, or read the site from the same period.',
      );
    siteLayer = twin;
  }
  if (siteLayer.opened.content.kind !== 'raster')
    return fail('variables', title, 'is no raster', 'Choose another layer.');
  return ok({
    variable: {
      id,
      title,
      unit: definition.unit ?? '1',
      transform: definition.transform,
      period: entry.period,
      words: definition.words ?? ['more', 'less'],
    },
    raster: layer.opened.content.raster,
    band: entry.band,
    siteRaster: siteLayer.opened.content.raster,
    siteBand: siteLayer.entry.band,
  });
}

/** The layer of the same definition in another period; both are in the definition's unit by now. */
function twinOf(desk: Desk, entry: LayerEntry, period: string): OpenLayer | undefined {
  return layersOf(desk, entry.definition).find((l) => l.entry.period === period);
}
