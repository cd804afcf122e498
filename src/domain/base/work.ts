/** How long work reports and hears "stop" without knowing who runs it. */
export interface Work {
  /** done of total, and what is being done, in the user's words ("candidates vetted"). */
  progress?(done: number, total: number, what: string): void;
  /** Awaited now and then by long loops: lets the event loop hear a cancel; rejects with Cancelled when stopped. */
  pause?(): Promise<void>;
}

/** Thrown out of `pause` when the user stopped the work; jobs turn it into a Failure of code 'cancelled'. */
export class Cancelled extends Error {
  constructor() {
    super('cancelled');
    this.name = 'Cancelled';
  }
}
