/** From files that were brought to layers of the plan, and back to layers that lack their file. */
import { layerDefinition } from '../../layers/index.ts';
import type { Box } from '../domain/base/geo.ts';
import { besideName } from '../domain/plan/beside.ts';
import { addLayers, editLayer, type Change } from '../domain/plan/change.ts';
import type { Fingerprint } from '../domain/plan/relink.ts';
import type { Plan } from '../domain/plan/schema.ts';
import type { JobClient } from '../jobs/client.ts';
import type { Bytes } from '../jobs/protocol.ts';
import type { Store } from '../storage/store.ts';
import { accepted, placeOf, printed } from './accept.ts';
import { ColumnsTrial } from './columns.svelte.ts';
import { Intake, type IntakeItem, type LayerDraft } from './intake.svelte.ts';
import type { Layers } from './layers.svelte.ts';
import { remembered } from './remembered.ts';

interface Parts {
  readonly jobs: JobClient;
  readonly store: Store | null;
  readonly layers: Layers;
  readonly plan: () => Plan;
  readonly near: () => Box | null;
  readonly readOnly: () => boolean;
  /** False, and said, in a tab that only shows the workspace. */
  readonly editable: () => boolean;
  readonly apply: (change: Change) => void;
  /** A file came back without an edit: keep it and open its layer. */
  readonly cameBack: (layer: string) => void;
  /** Layers that were added just now. */
  readonly added: (ids: ReadonlyArray<{ readonly id: string; readonly definition: string }>) => void;
  readonly photos: (items: readonly IntakeItem[]) => void;
  readonly say: (text: string) => void;
}

export class FilesIn {
  readonly intake: Intake;
  #parts: Parts;

  constructor(parts: Parts) {
    this.#parts = parts;
    const { jobs, layers, plan, near, photos } = parts;
    this.intake = new Intake(jobs, {
      titleOf: (id) => layerDefinition(id)?.title ?? '',
      near,
      recall: (columns) => this.#recall(columns),
      missing: () => (parts.readOnly() ? [] : plan().layers.filter((l) => layers.lacksFile(l))),
      relink: (layer, bytes, print, checked) => this.#relink(layer, bytes, print, checked),
      photos,
    });
  }

  /** Makes layers of the items that are ready: one gesture, one step back. */
  accept(): void {
    // Refused before anything is put away or kept.
    if (!this.#parts.editable()) return;
    const { layers, plan } = this.#parts;
    const items = this.intake.ready;
    const { entries, variables, files } = accepted(items, plan(), layers.files.keys());
    if (entries.length === 0) return;
    for (const { path, blob } of files) layers.keep(path, blob);
    for (const { id, inspection, entry } of items) {
      if (inspection?.sample) this.remember(inspection.sample.columns, entry);
      this.intake.putAway(id);
    }
    this.#parts.apply(addLayers(plan(), entries, variables));
    this.#parts.added(entries);
  }

  /** Another file for a layer, knowingly: it gets a path of its own, and the change can be undone. */
  replace(id: string, item: IntakeItem): void {
    const { layers, plan } = this.#parts;
    const layer = plan().layers.find((l) => l.id === id);
    if (!layer || !this.#parts.editable()) return;
    const taken = new Set(['plan.json', ...plan().layers.map((l) => l.path ?? ''), ...layers.files.keys()]);
    const { where, files } = placeOf(item.bytes, taken);
    for (const { path, blob } of files) layers.keep(path, blob);
    this.intake.putAway(item.id);
    const old = { path: undefined, url: undefined, size: undefined, sha256: undefined };
    const change = { ...old, ...where, ...printed(item.print) };
    this.#parts.apply(editLayer(plan(), id, change, `Another file for ${layer.title ?? id}`));
  }

  /** A trial of columns, for the screen that chooses them. */
  tryColumns(): ColumnsTrial {
    return new ColumnsTrial(this.#parts.jobs);
  }

  /** Keeps what was chosen for a table, for the next one with these headers in any workspace of this browser. */
  remember(
    headers: readonly string[],
    { definition, columns, names }: Pick<LayerDraft, 'definition' | 'columns' | 'names'>,
  ): void {
    if (!columns && !names) return;
    void keyOfHeaders(headers).then((key) =>
      this.#parts.store?.remember(key, { definition, columns, names }),
    );
  }

  async #recall(headers: readonly string[]): Promise<Partial<LayerDraft> | null> {
    const kept = await this.#parts.store?.recall(await keyOfHeaders(headers));
    // A convenience that fails costs a choice made anew, nothing else.
    return kept?.ok === true ? remembered(kept.value, headers) : null;
  }

  /** Gives a layer its own file back, in its old place. `checked`: by size and hash, not only by its name. */
  #relink(id: string, bytes: Bytes, print: Fingerprint, checked: boolean): void {
    const { layers, plan } = this.#parts;
    const layer = plan().layers.find((l) => l.id === id);
    if (layer?.path === undefined || bytes.kind === 'url') return;
    const title = layer.title ?? layer.id;
    layers.keep(layer.path, bytes.blob);
    for (const side of bytes.beside ?? [])
      layers.keep(besideName(side.name, bytes.name, layer.path), side.blob);
    const why =
      layer.sha256 === undefined
        ? 'Nothing is on record to compare its content with.'
        : 'This page cannot compare contents: it is not served over https.';
    this.#parts.say(
      checked
        ? `${title} has its file back: ${bytes.name}, the same by size and hash.`
        : `${title} has its file back: ${bytes.name}, by its name. ${why}`,
    );
    this.#parts.cameBack(id);
    if (!checked) this.#parts.apply(editLayer(plan(), id, printed(print), `Bring back ${title}`));
  }
}

/** What the screen of columns needs is loaded when a table is brought, not before. */
async function keyOfHeaders(headers: readonly string[]): Promise<string> {
  const { headerKey } = await import('../domain/candidates/table/mapping.ts');
  return `columns ${headerKey(headers)}`;
}
