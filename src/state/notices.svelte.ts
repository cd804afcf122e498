/** Failures and notes that wait to be read. A failure stays until it is put away; the same one is not listed twice. */
import type { Failure } from '../domain/base/result.ts';

export interface Notice {
  readonly id: number;
  readonly kind: 'failure' | 'note';
  readonly failure: Failure | null;
  readonly text: string;
}

export class Notices {
  list = $state.raw<readonly Notice[]>([]);
  #next = 1;

  fail(failure: Failure): void {
    if (failure.code === 'cancelled') return;
    const text = `${failure.where} ${failure.what}`;
    if (this.list.some((n) => n.text === text)) return;
    this.list = [...this.list, { id: this.#next++, kind: 'failure', failure, text }];
  }

  note(text: string): void {
    if (this.list.some((n) => n.text === text)) return;
    this.list = [...this.list, { id: this.#next++, kind: 'note', failure: null, text }];
  }

  putAway(id: number): void {
    this.list = this.list.filter((n) => n.id !== id);
  }
}
