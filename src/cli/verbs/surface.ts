import { statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { layerDefinition } from '../../../layers/index.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import { surfaceAbout } from '../../domain/plan/surfaceAbout.ts';
import { chosenVariables } from '../../domain/vetting/match/chosenVariables.ts';
import { surfaceFile } from '../../jobs/handlers/surface.ts';
import { surfaceGrid } from '../../jobs/handlers/surfaceCells.ts';
import { surfaceSpecOf } from '../../jobs/handlers/surfaceSpecOf.ts';
import { one, optional, readOptions } from '../arguments.ts';
import { openPlan, plantingsOf, readPlan } from '../openPlan.ts';
import type { Verb } from '../verb.ts';
import { writePieces } from '../writePieces.ts';

export const surface: Verb = {
  name: 'surface',
  usage: 'surface PLAN --out F [--planting ID]',
  help: [
    'The environmental match of every place with the sites of a planting, as a GeoTIFF: one band of 32-bit floats from 0 to 1,',
    'NaN where a variable is missing, on the grid of the finest variable; tiled, deflated, with overviews (cloud-optimised).',
    'Of the plan only the layers of the variables and the zones are opened. The first planting is taken, or --planting.',
    'JSON: {planting, title, file, bytes, grid:{width, height, cell_m, crs, extent}, cells_with_match, least, cells_over_least,',
    'share_over_least, best, variables, spread, k, notes}; least is the limit of the planting’s rule on match.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('surface', args, ['out', 'planting']);
    if (!options.ok) return options;
    const [path, more] = options.value.rest;
    if (path === undefined || more !== undefined)
      return fail('usage', 'surface', 'needs one plan file', 'See kinstand surface --help.');
    const out = one(options.value, 'surface', 'out');
    if (!out.ok) return out;
    const plan = await readPlan(path);
    if (!plan.ok) return plan;
    const plantings = plantingsOf(plan.value, path, optional(options.value, 'planting'));
    if (!plantings.ok) return plantings;
    const [planting] = plantings.value;
    // What cannot end well is refused before the long work.
    const chosen = chosenVariables(planting, plan.value.layers, layerDefinition);
    if (!chosen.ok) return chosen;
    const place = writable(out.value);
    if (!place.ok) return place;

    const needed = new Set(chosen.value.flatMap((v) => [v.layer.id, v.siteLayer.id]));
    const opened = await openPlan(
      plan.value,
      path,
      work,
      (entry) => needed.has(entry.id) || entry.definition === 'zones',
    );
    if (!opened.ok) return opened;
    const { desk } = opened.value;
    const made = await surfaceSpecOf(desk, plan.value, planting, work);
    if (!made.ok) return made;
    const { spec, variables, spread } = made.value;
    const grid = surfaceGrid(desk, spec);
    if (!grid.ok) return grid;

    const { least } = planting.rules.match;
    let known = 0;
    let over = 0;
    let best = NaN;
    const count = (match: Float32Array): void => {
      for (const x of match) {
        if (Number.isNaN(x)) continue;
        known++;
        if (x >= least) over++;
        if (!(x <= best)) best = x;
      }
    };
    const about = surfaceAbout(plan.value.notice, planting, variables, spread.spread);
    const file = await surfaceFile(desk, { spec, about }, work, count);
    if (!file.ok) return file;
    const bytes = file.value.reduce((sum, p) => sum + p.length, 0);
    const written = await write(out.value, file.value);
    if (!written.ok) return written;

    const { width, height, cellMetres, crs, extent } = grid.value.raster;
    const json = {
      planting: planting.id,
      title: planting.title,
      ...(plan.value.notice ? { notice: plan.value.notice } : {}),
      file: out.value,
      bytes,
      grid: { width, height, cell_m: cellMetres, crs, extent },
      cells_with_match: known,
      least,
      cells_over_least: over,
      share_over_least: over / known,
      best,
      variables: spread.variables.map((v) => v.title),
      spread: spread.spread.from,
      k: spread.spread.kept,
      notes: spread.notes,
    };
    const number = (n: number): string => n.toLocaleString('en-US');
    return ok({
      json,
      lines: [
        ...(plan.value.notice ? [plan.value.notice] : []),
        `${planting.title}: ${width} x ${height} cells of ${Number(cellMetres.toPrecision(4))} m, ${crs}`,
        `spread ${spread.spread.from}, k = ${spread.spread.kept}`,
        ...spread.notes,
        known === 0
          ? 'no cell has a match: nowhere do all variables have a value'
          : `${number(known)} cells with a match, ${(100 * json.share_over_least).toFixed(2)} % of them at ${least} or better, the best ${best.toPrecision(4)}`,
        `Written to ${out.value} (${(bytes / 1e6).toFixed(1)} MB)`,
      ],
    });
  },
};

function writable(out: string): Result<null> {
  const kindOf = (path: string): 'folder' | 'other' | null => {
    const stat = statSync(path, { throwIfNoEntry: false });
    return stat ? (stat.isDirectory() ? 'folder' : 'other') : null;
  };
  if (kindOf(out) === 'folder')
    return fail('usage', out, 'is a folder', 'Give the name of a file, for example match.tif.');
  const folder = dirname(resolve(out));
  return kindOf(folder) === 'folder'
    ? ok(null)
    : fail(
        'usage',
        out,
        'cannot be written: its folder does not exist',
        'Make the folder, or choose another.',
      );
}

async function write(out: string, pieces: ReadonlyArray<Uint8Array>): Promise<Result<null>> {
  try {
    await writePieces(out, pieces);
    return ok(null);
  } catch (error) {
    return fail(
      'unreadable',
      out,
      `cannot be written (${error instanceof Error ? error.message : String(error)})`,
      'Choose another place.',
    );
  }
}
