/**
 * Vetting, parent set and scouting day of the present planting, each remade when the key of its inputs changes.
 * One loop works down the chain vetting -> choice -> route and always looks at the newest plan: an answer for an
 * older key is dropped, a step whose inputs changed while it ran is stopped.
 */
import type { Failure, Result } from '../domain/base/result.ts';
import type { Candidates } from '../domain/candidates/candidates.ts';
import { parentInputs } from '../domain/parents/inputs.ts';
import { choiceKey, findPlanting, routeKey, vettingKey } from '../domain/plan/keys.ts';
import type { Plan, Planting } from '../domain/plan/schema.ts';
import { routeInputs } from '../domain/scouting/inputs.ts';
import type { ScoutingDay } from '../domain/scouting/types.ts';
import type { Vetting } from '../domain/vetting/vetting.ts';
import type { JobClient } from '../jobs/client.ts';
import type { ChoiceOutput, JobName, Jobs } from '../jobs/protocol.ts';
import { followChoice, followDay, rowMap } from './followRows.ts';
import type { Layers } from './layers.svelte.ts';

export const STEPS = ['vetting', 'choice', 'route'] as const;
export type StepName = (typeof STEPS)[number];

export interface Step {
  readonly state: 'idle' | 'running' | 'done' | 'failed';
  readonly done: number;
  readonly total: number;
  readonly what: string;
  readonly failure: Failure | null;
}

const IDLE: Step = { state: 'idle', done: 0, total: 0, what: '', failure: null };
const IDLE_STEPS = { vetting: IDLE, choice: IDLE, route: IDLE };
const NO_KEYS: Record<StepName, string> = { vetting: '', choice: '', route: '' };

interface Wanted {
  readonly candidates: Candidates;
  readonly plan: Plan;
  readonly planting: Planting;
  readonly keys: Record<StepName, string>;
}

export class Results {
  vetting = $state.raw<Vetting | null>(null);
  choice = $state.raw<ChoiceOutput | null>(null);
  day = $state.raw<ScoutingDay | null>(null);
  steps = $state.raw<Readonly<Record<StepName, Step>>>(IDLE_STEPS);

  /** Told when there is a new vetting. */
  onVetting: () => void = () => undefined;

  #data: JobClient;
  #solver: JobClient;
  #layers: Layers;
  #wanted: Wanted | null = null;
  /** Keys of what is on screen, and of what failed or was stopped (not tried again until the inputs change). */
  #have = { ...NO_KEYS };
  #gaveUp = { ...NO_KEYS };
  #running: { name: StepName; key: string; cancel(): void } | null = null;
  #loop: Promise<void> | null = null;

  constructor(data: JobClient, solver: JobClient, layers: Layers) {
    this.#data = data;
    this.#solver = solver;
    this.#layers = layers;
  }

  /** True while something on screen belongs to older inputs. */
  get outOfDate(): boolean {
    return STEPS.some((name) => this.steps[name].state === 'running' || this.steps[name].state === 'failed');
  }

  /** The key of the parent set on screen: an answer to "why not" holds for this one only. */
  get choiceKey(): string {
    return this.#have.choice;
  }

  /** Brings all three up to date; resolves when there is nothing left to do. */
  refresh(plan: Plan, plantingId: string): Promise<void> {
    const planting = findPlanting(plan, plantingId);
    const candidates = this.#layers.edited;
    if (!planting || !candidates) {
      this.clear();
      return Promise.resolve();
    }
    // A newer plan is on its way here, with the candidates that belong to it.
    if (this.#layers.edits !== plan.candidates) return this.#loop ?? Promise.resolve();
    if (this.#wanted && this.#wanted.planting.id !== plantingId) this.#forget();
    const vetting = vettingKey(plan, planting, String(this.#layers.revision));
    const choice = choiceKey(planting, vetting);
    this.#wanted = {
      candidates,
      plan,
      planting,
      keys: { vetting, choice, route: routeKey(planting, choice) },
    };
    const running = this.#running;
    if (running && running.key !== this.#wanted.keys[running.name]) running.cancel();
    this.#loop ??= this.#work().finally(() => {
      this.#loop = null;
    });
    return this.#loop;
  }

  /** Stops what is running. What is on screen stays, marked out of date. */
  cancel(): void {
    this.#running?.cancel();
  }

  /** Tries a failed or stopped step again. */
  retry(plan: Plan, plantingId: string): Promise<void> {
    this.#gaveUp = { ...NO_KEYS };
    return this.refresh(plan, plantingId);
  }

  clear(): void {
    this.#wanted = null;
    this.#running?.cancel();
    this.#forget();
  }

  #forget(): void {
    this.vetting = null;
    this.choice = null;
    this.day = null;
    this.#have = { ...NO_KEYS };
    this.#gaveUp = { ...NO_KEYS };
    this.steps = IDLE_STEPS;
    this.#layers.show(this.#layers.edited);
  }

  async #work(): Promise<void> {
    for (;;) {
      const wanted = this.#wanted;
      if (!wanted) return;
      const name = STEPS.find((s) => this.#have[s] !== wanted.keys[s]);
      if (name === undefined || this.#gaveUp[name] === wanted.keys[name]) return;
      await this.#step(name, wanted);
    }
  }

  async #step(name: StepName, wanted: Wanted): Promise<void> {
    const { plan, planting, keys, candidates } = wanted;
    if (name === 'vetting') {
      const vetting = await this.#run(name, keys, this.#data, 'vet', {
        plan,
        plantingId: planting.id,
        key: keys.vetting,
      });
      // Stopped or failed: what is on screen stays, unless its rows are those of other candidates.
      if (!vetting && this.#wanted !== wanted) return;
      this.#showRows(candidates);
      if (!vetting) {
        // Parent set and day without the vetting that they came from would tell half of it.
        if (!this.vetting) this.choice = this.day = null;
        return;
      }
      this.vetting = vetting;
      this.onVetting();
    } else if (name === 'choice' && this.vetting) {
      const choice = await this.#run(
        name,
        keys,
        this.#solver,
        'choose',
        parentInputs(planting, this.vetting, candidates),
      );
      if (choice) this.choice = choice;
    } else if (this.choice) {
      const input = routeInputs(planting, this.choice.set.members, candidates, keys.route);
      if (input) {
        const day = await this.#run(name, keys, this.#solver, 'route', input);
        if (day) this.day = day;
      } else {
        this.day = null;
        this.#have.route = keys.route;
        this.#say('route', IDLE);
      }
    }
  }

  /** The candidates of the newest vetting, with parent set and day following their trees to their rows. */
  #showRows(candidates: Candidates): void {
    const shown = this.#layers.candidates;
    if (shown === candidates) return;
    if (
      shown &&
      this.vetting &&
      (shown.n !== candidates.n || shown.id.some((id, i) => id !== candidates.id[i]))
    ) {
      const to = rowMap(shown.id, candidates.id);
      this.choice = this.choice && followChoice(this.choice, to);
      this.day = this.day && followDay(this.day, to);
      this.vetting = null;
    }
    this.#layers.show(candidates);
  }

  /** Null when it failed, was stopped, or its inputs are no longer the wanted ones. */
  async #run<J extends JobName>(
    name: StepName,
    keys: Record<StepName, string>,
    client: JobClient,
    job: J,
    input: Jobs[J]['input'],
  ): Promise<Jobs[J]['output'] | null> {
    this.#say(name, { ...IDLE, state: 'running' });
    const running = client.run(job, input, (done, total, what) =>
      this.#say(name, { ...IDLE, state: 'running', done, total, what }),
    );
    this.#running = { name, key: keys[name], cancel: () => running.cancel() };
    const result: Result<Jobs[J]['output']> = await running.result;
    this.#running = null;
    if (this.#wanted?.keys[name] !== keys[name]) return null;
    if (!result.ok) {
      this.#gaveUp[name] = keys[name];
      this.#say(name, { ...IDLE, state: 'failed', failure: result.failure });
      return null;
    }
    this.#have[name] = keys[name];
    this.#say(name, { ...IDLE, state: 'done' });
    return result.value;
  }

  #say(name: StepName, step: Step): void {
    this.steps = { ...this.steps, [name]: step };
  }
}
