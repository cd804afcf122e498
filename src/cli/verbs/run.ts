import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { parentInputs } from '../../domain/parents/inputs.ts';
import type { Plan, Planting } from '../../domain/plan/schema.ts';
import { scoutingDay } from '../../domain/scouting/day.ts';
import { routeInputs } from '../../domain/scouting/inputs.ts';
import type { ScoutingDay } from '../../domain/scouting/types.ts';
import { STANDINGS, type SiteValues, type Vetting } from '../../domain/vetting/vetting.ts';
import { parentSetRecord } from '../../io/write/parentSet.ts';
import { routeCsv, routeGeojson, routeGpx } from '../../io/write/route.ts';
import { vettingCsv, vettingGeojson } from '../../io/write/vetting.ts';
import { editedCandidates } from '../../jobs/handlers/candidates.ts';
import { choose } from '../../jobs/handlers/choose.ts';
import type { Desk, OpenLayer } from '../../jobs/handlers/desk.ts';
import { vet } from '../../jobs/handlers/vet.ts';
import type { ChoiceOutput } from '../../jobs/protocol.ts';
import { one, optional, readOptions } from '../arguments.ts';
import { openPlan, plantingsOf, readPlan } from '../openPlan.ts';
import type { Verb } from '../verb.ts';

export const run: Verb = {
  name: 'run',
  usage: 'run PLAN --out DIR [--planting ID]',
  help: [
    'The main job on a plan file: opens its layers, vets every candidate, chooses the parent set, plans the scouting day.',
    'Writes vetting.csv, vetting.geojson, parent-set.json, route.gpx, route.geojson, route.csv and report.json into DIR for the',
    'first planting (or --planting), and the same into DIR/ID for each further one. report.json covers all of them.',
    'JSON: the report.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('run', args, ['out', 'planting']);
    if (!options.ok) return options;
    const [path, more] = options.value.rest;
    if (path === undefined || more !== undefined)
      return fail('usage', 'run', 'needs one plan file', 'See kinstand run --help.');
    const out = one(options.value, 'run', 'out');
    if (!out.ok) return out;
    const plan = await readPlan(path);
    if (!plan.ok) return plan;
    const plantings = plantingsOf(plan.value, path, optional(options.value, 'planting'));
    if (!plantings.ok) return plantings;
    const opened = await openPlan(plan.value, path, work);
    if (!opened.ok) return opened;
    const { desk, layers } = opened.value;
    const candidates = editedCandidates(desk, plan.value.candidates);
    if (!candidates.ok) return candidates;

    const reports: Array<Record<string, unknown>> = [];
    for (const [i, planting] of plantings.value.entries()) {
      const done = await runPlanting(desk, plan.value, planting, candidates.value.candidates, work);
      if (!done.ok) return done;
      const dir = i === 0 ? out.value : join(out.value, planting.id);
      const written = write(dir, plan.value, planting, candidates.value.candidates, done.value);
      if (!written.ok) return written;
      reports.push({
        ...reportOf(planting, candidates.value.candidates, done.value),
        folder: i === 0 ? '.' : planting.id,
      });
    }
    const report = {
      title: plan.value.title,
      ...(plan.value.notice ? { notice: plan.value.notice } : {}),
      layers: layers.map(layerRecord),
      candidates: {
        count: candidates.value.candidates.n,
        notes: candidates.value.notes.map((n) => `${n.where}: ${n.what}`),
      },
      plantings: reports,
    };
    writeFileSync(join(out.value, 'report.json'), JSON.stringify(report, null, 2) + '\n');
    const lines = reports.map((r) => `${String(r['title'])}: ${String(r['summary'])}`);
    return ok({
      json: report,
      lines: [...(plan.value.notice ? [plan.value.notice] : []), ...lines, `Written to ${out.value}`],
    });
  },
};

function layerRecord({ entry, opened: file, notes }: OpenLayer): Record<string, unknown> {
  return {
    id: entry.id,
    definition: entry.definition,
    file: file.file,
    format: file.format,
    crs: file.crs,
    count: file.count,
    period: entry.period,
    source: entry.source,
    date: entry.date,
    notes: notes.map((n) => `${n.where}: ${n.what}`),
  };
}

interface Done {
  readonly vetting: Vetting;
  readonly choice: ChoiceOutput;
  readonly day: ScoutingDay | null;
}

async function runPlanting(
  desk: Desk,
  plan: Plan,
  planting: Planting,
  candidates: Candidates,
  work: Work,
): Promise<Result<Done>> {
  const vetting = await vet(desk, plan, planting, 'run', work);
  if (!vetting.ok) return vetting;
  const choice = await choose(parentInputs(planting, vetting.value, candidates), work);
  if (!choice.ok) return choice;
  const route = routeInputs(planting, choice.value.set.members, candidates, 'run');
  return ok({ vetting: vetting.value, choice: choice.value, day: route ? scoutingDay(route) : null });
}

function write(
  dir: string,
  plan: Plan,
  planting: Planting,
  candidates: Candidates,
  { vetting, choice, day }: Done,
): Result<null> {
  const marks = { members: choice.set.members, reserves: choice.reserves.reserves };
  const texts = {
    title: `Scouting, ${planting.title}`,
    date: planting.scouting.date,
    species: planting.species,
    notice: plan.notice,
    time: new Date().toISOString(),
  };
  try {
    mkdirSync(dir, { recursive: true });
    writeFileSync(join(dir, 'vetting.csv'), vettingCsv(planting, vetting, candidates, marks, plan.notice));
    writeFileSync(
      join(dir, 'vetting.geojson'),
      vettingGeojson(planting, vetting, candidates, marks, plan.notice),
    );
    writeFileSync(
      join(dir, 'parent-set.json'),
      JSON.stringify(parentSetRecord(planting, vetting, candidates, choice, plan.notice), null, 2) + '\n',
    );
    if (day) {
      writeFileSync(join(dir, 'route.gpx'), routeGpx(day, texts));
      writeFileSync(join(dir, 'route.geojson'), routeGeojson(day, texts));
      writeFileSync(join(dir, 'route.csv'), routeCsv(day, texts));
    }
    return ok(null);
  } catch (error) {
    return fail(
      'unreadable',
      dir,
      `cannot be written (${error instanceof Error ? error.message : String(error)})`,
      'Choose another folder.',
    );
  }
}

/** What was read at a site; `now` where its values are of another period than the candidates'. */
function siteRecord(
  { name, lon, lat, elevation, zone, reading }: SiteValues,
  { match, zones }: Vetting,
): Record<string, unknown> {
  const known = (x: number | undefined): number | null => (Number.isFinite(x) ? (x ?? null) : null);
  return {
    ...{ name, lon, lat, elevation_m: known(elevation), zone: zones.names[zone] ?? null },
    cells: reading?.cells ?? 0,
    values: match?.variables.map(({ title, period }, i) => ({
      ...{ variable: title, period: match.sitePeriods[i], value: known(reading?.values[i]) },
      ...{ low: known(reading?.low[i]), high: known(reading?.high[i]) },
      ...(match.sitePeriods[i] === period ? {} : { now: known(reading?.now[i]) }),
    })),
  };
}

function reportOf(
  planting: Planting,
  candidates: Candidates,
  { vetting, choice, day }: Done,
): Record<string, unknown> {
  const standings = Object.fromEntries(
    STANDINGS.map((s, k) => [s, vetting.standing.filter((x) => x === k).length]),
  );
  const { set } = choice;
  const summary =
    set.status === 'fewer'
      ? `${set.members.length} of ${planting.parents.count} mother trees can be had; ${standings['eligible']} candidates eligible`
      : `${set.members.length} mother trees, ${set.status === 'optimal' ? 'proven best' : `within ${(100 * (set.bound / set.total - 1)).toFixed(2)} %`}, of ${standings['eligible']} eligible candidates`;
  return {
    id: planting.id,
    title: planting.title,
    species: planting.species,
    summary,
    standings,
    rules: vetting.findings.rules.map((r) => ({
      rule: r.rule,
      strength: r.strength,
      limit: r.limit,
      pass: r.answer.filter((a) => a === 0).length,
      fail: r.answer.filter((a) => a === 1).length,
      unknown: r.answer.filter((a) => a === 2).length,
    })),
    match: vetting.spread && {
      k: vetting.spread.kept,
      variables: vetting.spread.variables,
      spread: vetting.spread.from,
      basis: vetting.spread.basis,
      cells: vetting.spread.cells,
    },
    sites: vetting.sites.map((site) => siteRecord(site, vetting)),
    ...(planting.sitePeriod === '' ? {} : { site_period: planting.sitePeriod }),
    origin_weights: vetting.origin.tableVersion,
    parent_set: {
      status: set.status,
      members: set.members.map((r) => candidates.id[r]),
      total: set.total,
      bound: set.bound,
      largest: set.largest < 0 ? null : set.largest,
      held_back: choice.heldBack,
    },
    scouting: day && {
      order: day.stops.map((s) => s.id),
      travel_m: day.travelMetres,
      travel_s: day.travelSeconds,
      bound_s: day.boundSeconds,
      leave_s: day.leave,
      home_s: day.home,
      late: day.stops.filter((s) => s.late).map((s) => s.id),
    },
    notes: vetting.notes,
  };
}
