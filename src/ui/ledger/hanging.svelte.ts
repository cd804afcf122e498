import type { OriginWeights } from '../../domain/plan/schema.ts';
import { turning } from '../../domain/vetting/origin/turning.ts';
import type { OriginColumns } from '../../domain/vetting/origin/types.ts';
import { inSlices } from '../parts/inSlices.ts';

/** Rows between two pauses. */
const PAUSE = 64;

/** Which verdicts hang on a single piece of evidence: worked out in slices, once somebody asks. Not saved. */
class Hanging {
  /** By row a bit for each piece (see `turning`), 0 outside the rows that were asked for; null until all are done. */
  bits = $state.raw<Uint32Array | null>(null);
  #of: { readonly origin: OriginColumns; readonly species: number | null } | null = null;
  #stop: () => void = () => undefined;

  /** @param rows those of the species (null: of all): asked again for it, nothing is done anew. */
  want(origin: OriginColumns, table: OriginWeights, rows: readonly number[], species: number | null): void {
    if (this.#of?.origin === origin && this.#of.species === species) return;
    this.#of = { origin, species };
    this.bits = null;
    this.#stop();
    this.#stop = inSlices(this.#work(turning(origin, table), rows, origin.decided.length));
  }

  *#work(of: (row: number) => number, rows: readonly number[], n: number): Generator<null, void> {
    const bits = new Uint32Array(n);
    for (let i = 0; i < rows.length; i++) {
      if (i % PAUSE === 0) yield null;
      bits[rows[i]] = of(rows[i]);
    }
    this.bits = bits;
  }
}

export const hanging = new Hanging();
