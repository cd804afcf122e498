import type { Kinstand } from '../../state/kinstand.svelte.ts';
import type { ExportedFile } from '../../state/exporter.ts';
import type { Result } from '../../domain/base/result.ts';

/** Hands a file to the browser's downloads; a failure goes to the notices. */
export async function download(k: Kinstand, make: () => Promise<Result<ExportedFile>>): Promise<void> {
  const made = await make();
  if (!made.ok) {
    k.notices.fail(made.failure);
    return;
  }
  const url = URL.createObjectURL(made.value.blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = made.value.name;
  link.click();
  // The browser reads the address after the click has been handled.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
