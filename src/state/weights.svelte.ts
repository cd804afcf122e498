/** The page of weights: which table is compared with the one in use, and weights fitted anew that wait for a yes or no. */
import type { Failure } from '../domain/base/result.ts';
import type { OriginWeights } from '../domain/plan/schema.ts';
import { compareTables } from '../domain/vetting/origin/compareTables.ts';
import { judge } from '../domain/vetting/origin/judge.ts';
import { pickOrigin } from '../domain/vetting/origin/pickOrigin.ts';
import type {
  NoRefit,
  OriginColumns,
  Outcome,
  Refit,
  TableComparison,
} from '../domain/vetting/origin/types.ts';
import type { JobClient } from '../jobs/client.ts';

/** A table beside the one in use, and what it is called as the reason of a change: "file hills.json". */
export interface OtherTable {
  readonly table: OriginWeights;
  readonly why: string;
}

/** Compared over some rows: `before` and `value` count in these. */
export interface Compared {
  readonly rows: readonly number[];
  readonly before: OriginColumns;
  readonly value: TableComparison;
}

/** Weighed by both tables here: what is on screen may still be that of an earlier one. */
export function compared(
  origin: OriginColumns,
  rows: readonly number[],
  table: OriginWeights,
  next: OriginWeights,
): Compared {
  const own = pickOrigin(origin, rows);
  const before = judge(own.evidence, table, own);
  return { rows, before, value: compareTables(before, next) };
}

export class WeightsState {
  /** Compared with the table in use. */
  other = $state.raw<OtherTable | null>(null);
  compared = $state.raw<Compared | null>(null);
  comparing = $state(false);
  /** Of the evidence that it was made with; `answer` null while it is being made. */
  fit = $state.raw<{
    readonly origin: OriginColumns;
    readonly answer: Refit | NoRefit | null;
    /** What it would change; null where it is no fit. */
    readonly moves: Compared | null;
  } | null>(null);
  failure = $state.raw<Failure | null>(null);
  #jobs: JobClient;
  #asked: object | null = null;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /** Compares after the screen has said so: many candidates take a moment. The newest question is answered. */
  async compare(...of: Parameters<typeof compared>): Promise<void> {
    const asked = (this.#asked = {});
    this.comparing = true;
    await new Promise((go) => setTimeout(go));
    if (this.#asked !== asked) return;
    this.compared = compared(...of);
    this.comparing = false;
  }

  /** Nothing is compared any longer. */
  leave(): void {
    this.#asked = null;
    this.other = this.compared = null;
    this.comparing = false;
  }

  /** @param outcomes rows of `origin`. @param rows over which the new table is compared. @param version of the new table. */
  async refit(
    origin: OriginColumns,
    table: OriginWeights,
    outcomes: readonly Outcome[],
    version: string,
    rows: readonly number[],
  ): Promise<void> {
    const fit = { origin, answer: null, moves: null };
    this.fit = fit;
    this.failure = null;
    const columns = pickOrigin(
      origin,
      outcomes.map((o) => o.row),
    );
    const result = await this.#jobs.run('refit', {
      columns,
      table,
      outcomes: outcomes.map(({ natural }, row) => ({ row, natural })),
      version,
    }).result;
    if (this.fit !== fit) return;
    if (result.ok) {
      const answer = result.value;
      const moves = answer.kind === 'fitted' ? compared(origin, rows, table, answer.table) : null;
      this.fit = { origin, answer, moves };
    } else {
      this.fit = null;
      this.failure = result.failure;
    }
  }

  /** The fit is declined, or has been taken. */
  putAway(): void {
    this.fit = null;
    this.failure = null;
  }

  clear(): void {
    this.leave();
    this.putAway();
  }
}
