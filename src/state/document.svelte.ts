/** The plan as edited: one door for changes, undo by the inverse change. Saved. */
import { inverse, type Change } from '../domain/plan/change.ts';
import { freshPlan } from '../domain/plan/fresh.ts';
import type { Plan } from '../domain/plan/schema.ts';

const DEPTH = 200;

export class PlanDocument {
  #plan = $state.raw<Plan>(freshPlan(''));
  #done = $state.raw<readonly Change[]>([]);
  #undone = $state.raw<readonly Change[]>([]);
  #revision = $state(0);
  #heard: Array<() => void> = [];

  get plan(): Plan {
    return this.#plan;
  }
  /** Counts every change of the plan, undo included. */
  get revision(): number {
    return this.#revision;
  }
  /** What undo and redo would do, null where there is nothing. */
  get undoNote(): string | null {
    return this.#done.at(-1)?.note ?? null;
  }
  get redoNote(): string | null {
    return this.#undone.at(-1)?.note ?? null;
  }

  /** Called after each change; for the pipeline and autosave. */
  onChange(hear: () => void): void {
    this.#heard.push(hear);
  }

  /** Another workspace: no way back through undo. */
  replace(plan: Plan): void {
    this.#done = [];
    this.#undone = [];
    this.#set(plan);
  }

  apply(change: Change): void {
    if (change.before !== this.#plan) throw new Error('a change must start from the present plan');
    if (change.after === this.#plan) return;
    this.#done = [...this.#done.slice(-DEPTH + 1), change];
    this.#undone = [];
    this.#set(change.after);
  }

  undo(): void {
    const change = this.#done.at(-1);
    if (!change) return;
    this.#done = this.#done.slice(0, -1);
    this.#undone = [...this.#undone, change];
    this.#set(inverse(change).after);
  }

  redo(): void {
    const change = this.#undone.at(-1);
    if (!change) return;
    this.#undone = this.#undone.slice(0, -1);
    this.#done = [...this.#done, change];
    this.#set(change.after);
  }

  #set(plan: Plan): void {
    this.#plan = plan;
    this.#revision++;
    for (const hear of this.#heard) hear();
  }
}
