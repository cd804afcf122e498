/** The screen is held up no longer than this at a time, ms. */
const SLICE = 8;

/** Works a generator through between the turns of the screen, from the next turn on. @returns what stops it. */
export function inSlices(work: Iterator<unknown, void>): () => void {
  let timer = setTimeout(slice);
  function slice(): void {
    const until = performance.now() + SLICE;
    while (performance.now() < until) if (work.next().done) return;
    timer = setTimeout(slice);
  }
  return () => clearTimeout(timer);
}
