import type { LayerEntry } from './schema.ts';

/** By what a file is known again. */
export interface Fingerprint {
  /** Bytes. */
  readonly size: number;
  /** 64 hexadecimal digits; '' where no hash could be made (a page that is not served securely). */
  readonly sha256: string;
}

export type Relink =
  /** The file of this layer, whatever it is called now. `checked`: size and hash say so; else the name alone does. */
  | { readonly kind: 'same'; readonly layer: string; readonly checked: boolean }
  /** Called like the file of this layer, but another one; `what` says how it differs. */
  | { readonly kind: 'different'; readonly layer: string; readonly what: string }
  | { readonly kind: 'none' };

const baseName = (path: string): string => (path.split('/').at(-1) ?? path).toLowerCase();

/**
 * Which of the layers whose file is missing a brought file belongs to. Size and hash count for more than the name: a renamed
 * file is found, another file of the same name is said to be another.
 */
export function relinkOf(
  file: Fingerprint & { readonly name: string },
  missing: readonly LayerEntry[],
): Relink {
  const known = missing.find(
    (l) => l.size === file.size && l.sha256 !== undefined && file.sha256 !== '' && l.sha256 === file.sha256,
  );
  if (known) return { kind: 'same', layer: known.id, checked: true };
  const named = missing.find((l) => l.path !== undefined && baseName(l.path) === file.name.toLowerCase());
  if (!named) return { kind: 'none' };
  if (named.size !== undefined && named.size !== file.size)
    return {
      kind: 'different',
      layer: named.id,
      what: `has ${file.size.toLocaleString('en-US')} bytes; the file of this layer had ${named.size.toLocaleString('en-US')}`,
    };
  if (named.sha256 !== undefined && file.sha256 !== '' && named.sha256 !== file.sha256)
    return {
      kind: 'different',
      layer: named.id,
      what: 'has the same name and size as the file of this layer, but another content',
    };
  return { kind: 'same', layer: named.id, checked: false };
}
