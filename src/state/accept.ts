/** From accepted files to layers of the plan: ids, paths, and the files that are kept under them. */
import { layerDefinition } from '../../layers/index.ts';
import { freeId, freePaths } from '../domain/plan/fresh.ts';
import type { LayerEntry, Plan } from '../domain/plan/schema.ts';
import { usualVariables } from '../domain/vetting/match/variableGroups.ts';
import type { Bytes } from '../jobs/protocol.ts';
import type { IntakeItem } from './intake.svelte.ts';

export interface Accepted {
  readonly entries: readonly LayerEntry[];
  /** Ids of rasters of numbers, which become variables of the match; not of climate that is there for an earlier period. */
  readonly variables: readonly string[];
  readonly files: ReadonlyArray<{ readonly path: string; readonly blob: Blob }>;
}

/** @param kept paths of files in the workspace, of removed layers too: a path stands for one content for good. */
export function accepted(items: readonly IntakeItem[], plan: Plan, kept: Iterable<string>): Accepted {
  const ids = new Set(plan.layers.map((l) => l.id));
  const paths = new Set(['plan.json', ...plan.layers.map((l) => l.path ?? ''), ...kept]);
  const entries: LayerEntry[] = [];
  const files: Array<{ path: string; blob: Blob }> = [];
  const places = new Map<Bytes, ReturnType<typeof placeOf>>();
  for (const { bytes, entry, print } of items) {
    const id = freeId(entry.definition, ids);
    ids.add(id);
    // Two layers of one file share it.
    const before = places.get(bytes);
    const placed = before ?? placeOf(bytes, paths);
    places.set(bytes, placed);
    if (!before) files.push(...placed.files);
    // A choice that was taken back is undefined, which a plan does not hold.
    const chosen = Object.fromEntries(
      Object.entries(entry).filter(([, v]) => v !== undefined),
    ) as typeof entry;
    entries.push({ ...chosen, id, ...placed.where, ...(placed.files.length > 0 ? printed(print) : {}) });
  }
  const usual = usualVariables([...plan.layers, ...entries], layerDefinition);
  const variables = entries.map((e) => e.id).filter((id) => usual.includes(id));
  return { entries, variables, files };
}

/** Where a file goes: its paths are taken from then on. */
export function placeOf(
  bytes: Bytes,
  taken: Set<string>,
): {
  where: { path: string } | { url: string };
  files: Array<{ path: string; blob: Blob }>;
} {
  if (bytes.kind === 'url') return { where: { url: bytes.url }, files: [] };
  const beside = bytes.beside ?? [];
  const paths = freePaths(
    bytes.name,
    beside.map((b) => b.name),
    taken,
  );
  for (const path of [paths.main, ...paths.beside]) taken.add(path);
  return {
    where: { path: paths.main },
    files: [
      { path: paths.main, blob: bytes.blob },
      ...beside.map((b, i) => ({ path: paths.beside[i], blob: b.blob })),
    ],
  };
}

/** What is written down of a file, to know it again. */
export const printed = (print: IntakeItem['print']): Pick<LayerEntry, 'size' | 'sha256'> =>
  print === null ? {} : { size: print.size, ...(print.sha256 ? { sha256: print.sha256 } : {}) };
