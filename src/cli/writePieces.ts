import { open } from 'node:fs/promises';

/** Pieces in one call: no system takes more (IOV_MAX of POSIX systems in use). */
const AT_ONCE = 1024;

/** Writes pieces one behind the other into a file, in place of what it held. Rejects where it cannot be written. */
export async function writePieces(path: string, pieces: ReadonlyArray<Uint8Array>): Promise<void> {
  const file = await open(path, 'w');
  try {
    for (let at = 0; at < pieces.length; at += AT_ONCE) {
      const some = pieces.slice(at, at + AT_ONCE);
      const wanted = some.reduce((sum, p) => sum + p.length, 0);
      const { bytesWritten } = await file.writev(some);
      if (bytesWritten < wanted) throw new Error('the disk takes no more');
    }
  } finally {
    await file.close();
  }
}
