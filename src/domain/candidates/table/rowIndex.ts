const made = new WeakMap<readonly string[], ReadonlyMap<string, number>>();

/** Row of each id; made once for a list of ids, which an edit of a cell leaves as it is. */
export function rowIndex(ids: readonly string[]): ReadonlyMap<string, number> {
  let index = made.get(ids);
  if (!index) {
    const rows = new Map<string, number>();
    for (let row = 0; row < ids.length; row++) rows.set(ids[row], row);
    made.set(ids, (index = rows));
  }
  return index;
}
