/** The floating-point predictor undone by vectors: floatPlanes.wat and what it needs around it. */
import { floatPlanesModule } from './floatPlanesModule.ts';

/** As floatPlanes.wat exports it. */
interface Planes {
  readonly memory: WebAssembly.Memory;
  /** `rows` rows of `n` cells, from address 4n + GAP on, to cells from address 0 on. */
  readonly undo: (rows: number, n: number) => void;
}

/** Fewer cells in a row or in all are undone as soon without vectors: a row takes whole vectors of 16. */
const FEW_IN_A_ROW = 16;
const FEW = 256;
/** Rows are handed over in runs of about so many bytes, which stay in the processor's nearest memories. */
const RUN = 65_536;
const GAP = 64;
/** Read behind the last row. */
const BEHIND = 16;

/** Loaded at the first use; null where it cannot be. */
let planes: Planes | null | undefined;

/**
 * Undoes the floating-point predictor (TIFF technical note 3) of 32-bit cells, one a place, in rows of `n`, in place; gives
 * cells in the machine's order and leaves a last row that is not whole as it is. False, and nothing done, where it is
 * not worth it, a row is too long (half a million cells) or the host has no WebAssembly, no vectors in it or forbids it.
 */
export function undoFloat32(data: ArrayBuffer, n: number): boolean {
  if (n < FEW_IN_A_ROW || data.byteLength < 4 * FEW) return false;
  if (planes === undefined) planes = load();
  const rowBytes = 4 * n;
  const rows = Math.floor(data.byteLength / rowBytes);
  const most = Math.min(rows, Math.ceil(RUN / rowBytes));
  const from = rowBytes + GAP;
  if (!planes) return false;
  const all = new Uint8Array(data);
  const inside = new Uint8Array(planes.memory.buffer);
  if (from + most * rowBytes + BEHIND > inside.length) return false;
  for (let row = 0; row < rows; row += most) {
    const now = Math.min(most, rows - row);
    const at = row * rowBytes;
    inside.set(all.subarray(at, at + now * rowBytes), from);
    planes.undo(now, n);
    all.set(inside.subarray(0, now * rowBytes), at);
  }
  return true;
}

function load(): Planes | null {
  if (typeof WebAssembly === 'undefined') return null;
  const bytes = Uint8Array.from(atob(floatPlanesModule), (c) => c.charCodeAt(0));
  // A host without vectors finds the module not valid.
  if (!WebAssembly.validate(bytes)) return null;
  try {
    // Not awaited: under 4 kB every host compiles it on any thread.
    return new WebAssembly.Instance(new WebAssembly.Module(bytes)).exports as unknown as Planes;
  } catch {
    // Forbidden by the host's policy. The caller's own way gives the same cells.
    return null;
  }
}
