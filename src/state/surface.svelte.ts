/**
 * What the match surface of the present planting is drawn with: the sites' values, asked of the worker that draws, put
 * together with the spread. It waits for no vetting of candidates.
 */
import { layerDefinition } from '../../layers/index.ts';
import { fail, type Failure, type Result } from '../domain/base/result.ts';
import { siteReadingKey, surfaceKey } from '../domain/plan/keys.ts';
import type { Plan, Planting, Site } from '../domain/plan/schema.ts';
import { sitesOf } from '../domain/plan/sites.ts';
import { chosenVariables } from '../domain/vetting/match/chosenVariables.ts';
import { lackingSite } from '../domain/vetting/match/lackingSite.ts';
import { surfaceSpec } from '../domain/vetting/match/surface.ts';
import type { ChosenVariable, SiteReading, SpreadView, SurfaceSpec } from '../domain/vetting/match/types.ts';
import type { JobClient } from '../jobs/client.ts';
import type { Jobs } from '../jobs/protocol.ts';

/** What is needed of the state of the spread; `running`: its answer is still to come. */
interface SpreadAnswer {
  readonly value: SpreadView | null;
  readonly failure: Failure | null;
  readonly running: boolean;
}

type Readings = Result<readonly SiteReading[]>;

export class SurfaceState {
  /** Of the present inputs; null while they are read, and where there is no surface (`failure` says why). */
  spec = $state.raw<SurfaceSpec | null>(null);
  /** The variables of `spec`, in its order. */
  variables = $state.raw<readonly ChosenVariable[]>([]);
  failure = $state.raw<Failure | null>(null);
  /** Inputs are being read. */
  running = $state(false);
  /** Tiles that the map waits for. */
  drawing = $state(0);
  #tiles: JobClient;
  /** Counts specs, so that a key is never given twice. */
  #made = 0;
  #key = '';
  #calls = 0;
  #readings: { readonly key: string; readonly answer: Promise<Readings>; stop(): void } | null = null;

  constructor(tiles: JobClient) {
    this.#tiles = tiles;
  }

  /**
   * Brings it up to date; to be called again when `spread` has its answer.
   * @param data changes whenever the content of a layer does. @param spread of these inputs.
   */
  async refresh(plan: Plan, planting: Planting, data: string, spread: SpreadAnswer): Promise<void> {
    const mine = ++this.#calls;
    this.leave(plan, planting, data);
    if (!spread.running && (this.spec || this.failure)) return;
    this.#settle(null);
    const chosen = chosenVariables(planting, plan.layers, layerDefinition);
    if (!chosen.ok) return this.#settle(chosen.failure);
    this.running = true;
    const readings = await this.#read(plan, planting, data);
    if (mine !== this.#calls) return;
    if (!readings.ok) return this.#settle(readings.failure);
    if (spread.running) return;
    if (!spread.value) return this.#settle(spread.failure);
    const spec = surfaceSpec(chosen.value, spread.value.spread, readings.value, String(++this.#made));
    const missing = siteWithoutValue(sitesOf(planting), readings.value, chosen.value);
    if (missing) return this.#settle(missing);
    this.#settle(null);
    this.variables = chosen.value;
    this.spec = spec;
  }

  /** What belongs to other inputs than these goes at once: nothing of it is drawn while the new is made. */
  leave(plan: Plan, planting: Planting, data: string): void {
    const key = surfaceKey(plan, planting, data);
    if (key === this.#key) return;
    this.#key = key;
    this.#settle(null);
  }

  /** One tile for the map; null where it has nothing, and for a spec that is no longer the present one. */
  async tile(
    input: Omit<Jobs['surfaceTile']['input'], 'spec'> & { readonly key: string },
    signal: AbortSignal,
  ): Promise<ImageBitmap | null> {
    const { key, ...rest } = input;
    const { spec } = this;
    if (spec?.key !== key || signal.aborted) return null;
    const running = this.#tiles.run('surfaceTile', { spec, ...rest });
    signal.addEventListener('abort', () => running.cancel(), { once: true });
    this.drawing++;
    const result = await running.result;
    this.drawing--;
    if (result.ok) return result.value;
    // Said once, in place of the legend, and only of what is still wanted.
    if (result.failure.code !== 'cancelled' && this.spec?.key === key) this.#settle(result.failure);
    return null;
  }

  clear(): void {
    this.#calls++;
    this.#readings?.stop();
    this.#readings = null;
    this.#key = '';
    this.variables = [];
    this.#settle(null);
  }

  #settle(failure: Failure | null): void {
    this.running = false;
    this.spec = null;
    this.failure = failure;
  }

  /** The sites' values, asked for once as long as sites, variables and layers stay. */
  #read(plan: Plan, planting: Planting, data: string): Promise<Readings> {
    const key = siteReadingKey(plan, planting, data);
    if (this.#readings?.key === key) return this.#readings.answer;
    this.#readings?.stop();
    const running = this.#tiles.run('atSites', { layers: plan.layers, planting });
    this.#readings = { key, answer: running.result, stop: () => running.cancel() };
    return running.result;
  }
}

/** The first site without a value of a variable, in words; null where all have all. */
function siteWithoutValue(
  sites: readonly Site[],
  readings: readonly SiteReading[],
  variables: readonly ChosenVariable[],
): Failure | null {
  const lacking = lackingSite(readings, variables);
  if (!lacking) return null;
  const { site, variable, value } = lacking;
  const name = sites[site]?.name || (sites.length > 1 ? `Site ${site + 1}` : 'The site');
  return Number.isFinite(value)
    ? fail(
        'content',
        name,
        `has ${value} of ${variable.title}, which has no logarithm`,
        'Compare this variable as it stands.',
      ).failure
    : fail(
        'content',
        name,
        `has no value of ${variable.title}`,
        'Move the site to where the layer has values, or leave the variable out.',
      ).failure;
}
