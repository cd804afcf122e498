import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { adjacencyOf } from '../../domain/layers/contacts.ts';
import type { Plan, Planting } from '../../domain/plan/schema.ts';
import { sitesOf } from '../../domain/plan/sites.ts';
import { resolveSpecies } from '../../domain/species/species.ts';
import {
  sortZones,
  zoneRanking,
  type VettedCandidates,
  type ZoneRow,
  type ZoneTable,
} from '../../domain/vetting/zoneRanking.ts';
import { zoneRecord } from '../../io/write/zoneRanking.ts';
import { editedCandidates } from '../../jobs/handlers/candidates.ts';
import { adjacencyTable } from '../../jobs/handlers/contacts.ts';
import type { Desk } from '../../jobs/handlers/desk.ts';
import { rankZones } from '../../jobs/handlers/rankZones.ts';
import { surfaceSpecOf } from '../../jobs/handlers/surfaceSpecOf.ts';
import { vet } from '../../jobs/handlers/vet.ts';
import { zonesLayer, zonesOn } from '../../jobs/handlers/zonesOn.ts';
import { optional, readOptions } from '../arguments.ts';
import { openPlan, plantingsOf, readPlan } from '../openPlan.ts';
import type { Verb } from '../verb.ts';

export const zones: Verb = {
  name: 'zones',
  usage: 'zones PLAN [--planting ID] [--at LEAST]',
  help: [
    'In which zones to look: how much of each zone matches the sites of a planting, its best place, and the candidates in it.',
    '--at        the least match that counts, 0 to 1 in steps of 0.001; the limit of the planting’s rule on match unless given',
    '--planting  the first planting unless given',
    'Candidates are counted where they are of the planting’s species. Zones with the greatest share come first.',
    'JSON: {planting, title, species, least, cell_m, step, spread, k, notes, zones:[{zone, name, contact, match_at_least, share_over,',
    'over_km2, known_km2, area_km2, best_match, best_lon, best_lat, eligible, candidates, to_site_km}]}; contact with the home zone is',
    'home, adjacent, corner, other or unknown; share_over is of known_km2, the ground where all variables have a value; every',
    'step-th cell was taken, of cell_m metres together.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('zones', args, ['planting', 'at']);
    if (!options.ok) return options;
    const [path, more] = options.value.rest;
    if (path === undefined || more !== undefined)
      return fail('usage', 'zones', 'needs one plan file', 'See kinstand zones --help.');
    const plan = await readPlan(path);
    if (!plan.ok) return plan;
    const plantings = plantingsOf(plan.value, path, optional(options.value, 'planting'));
    if (!plantings.ok) return plantings;
    const [planting] = plantings.value;
    const least = leastOf(optional(options.value, 'at'), planting);
    if (!least.ok) return least;

    const opened = await openPlan(plan.value, path, work);
    if (!opened.ok) return opened;
    const { desk } = opened.value;
    const made = await surfaceSpecOf(desk, plan.value, planting, work);
    if (!made.ok) return made;
    const { spec, spread } = made.value;
    const match = await rankZones(desk, { spec, sites: sitesOf(planting) }, work);
    if (!match.ok) return match;
    const vetted = await vettedCandidates(desk, plan.value, planting, work);
    if (!vetted.ok) return vetted;
    const rows = sortZones(
      zoneRanking(match.value, tableOf(desk, planting), least.value, vetted.value),
      'share',
      'down',
    );
    const json = {
      planting: planting.id,
      title: planting.title,
      species: planting.species,
      ...(plan.value.notice ? { notice: plan.value.notice } : {}),
      least: least.value,
      cell_m: match.value.cellMetres,
      step: match.value.step,
      variables: spread.variables.map((v) => v.title),
      spread: spread.spread.from,
      k: spread.spread.kept,
      notes: spread.notes,
      zones: rows.map((row) => zoneRecord(row, least.value)),
    };
    return ok({
      json,
      lines: [
        ...(plan.value.notice ? [plan.value.notice] : []),
        `${planting.title}: zones by the share of their ground that matches by ${least.value} or better`,
        `spread ${spread.spread.from}, k = ${spread.spread.kept}; cells of ${Number(match.value.cellMetres.toPrecision(3))} m`,
        ...spread.notes,
        '',
        ...aligned([
          ['zone', 'contact', 'share', 'km2', 'of km2', 'best', 'eligible', 'of trees', 'km away'],
          ...rows.map(lineOf),
        ]),
      ],
    });
  },
};

function leastOf(text: string | null, planting: Planting): Result<number> {
  if (text === null) return ok(planting.rules.match.least);
  const value = text.trim() === '' ? NaN : Number(text);
  return value >= 0 && value <= 1
    ? ok(Math.round(value * 1000) / 1000)
    : fail('usage', 'zones', `--at is "${text}", not a number from 0 to 1`, 'For example --at 0.05.');
}

/** null where the plan has no candidates yet. */
async function vettedCandidates(
  desk: Desk,
  plan: Plan,
  planting: Planting,
  work: Work,
): Promise<Result<VettedCandidates | null>> {
  const joined = editedCandidates(desk, plan.candidates);
  if (!joined.ok) return joined;
  const { candidates } = joined.value;
  if (candidates.n === 0) return ok(null);
  const vetting = await vet(desk, plan, planting, 'zones', work);
  if (!vetting.ok) return vetting;
  return ok({ vetting: vetting.value, candidates, species: resolveSpecies(planting.species).species });
}

function tableOf(desk: Desk, planting: Planting): ZoneTable {
  const own = zonesLayer(desk)?.zones ?? [];
  const touching = adjacencyTable(desk, planting.rules.zone.snap);
  return {
    keys: own.map((z) => z.key),
    names: own.map((z) => z.name || z.key),
    adjacency: touching && !touching.gaveUp ? adjacencyOf(touching.rows, touching.snap) : null,
    homes: sitesOf(planting).flatMap((site) => {
      const zone = zonesOn(desk)?.zoneOf(site.lon, site.lat) ?? -1;
      return zone < 0 ? [] : [zone];
    }),
  };
}

const figure = (x: number, decimals: number): string => (Number.isFinite(x) ? x.toFixed(decimals) : '-');

const lineOf = (row: ZoneRow): string[] => [
  row.name,
  row.contact,
  Number.isFinite(row.share) ? `${figure(100 * row.share, 1)} %` : '-',
  figure(row.overKm2, 1),
  figure(row.knownKm2, 1),
  figure(row.best, 3),
  figure(row.eligible, 0),
  figure(row.candidates, 0),
  figure(row.km, 1),
];

/** Columns of equal width: texts (the first two) to the left, figures to the right. */
function aligned(rows: ReadonlyArray<readonly string[]>): string[] {
  const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => row[c].length)));
  return rows.map((row) =>
    row
      .map((cell, c) => (c < 2 ? cell.padEnd(widths[c]) : cell.padStart(widths[c])))
      .join('  ')
      .trimEnd(),
  );
}
