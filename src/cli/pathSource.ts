import { fstatSync, openSync, read as readFd, readdirSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { promisify } from 'node:util';
import { fail, ok, type Result } from '../domain/base/result.ts';
import type { Source } from '../io/source.ts';

const readAt = promisify(readFd);

/** A file on disk, read by position. It stays open until the process ends: a verb reads a few files and stops. */
export function pathSource(path: string): Result<Source> {
  try {
    const fd = openSync(path, 'r');
    const stat = fstatSync(fd);
    if (!stat.isFile()) {
      return fail('unreadable', path, 'is not a file', 'Give the path of a file.');
    }
    const { size } = stat;
    const read = async (offset: number, length: number): Promise<Result<Uint8Array>> => {
      const want = Math.max(0, Math.min(length, size - offset));
      const bytes = new Uint8Array(want);
      try {
        let done = 0;
        while (done < want) {
          const { bytesRead } = await readAt(fd, bytes, done, want - done, offset + done);
          if (bytesRead === 0) break;
          done += bytesRead;
        }
        return ok(done === want ? bytes : bytes.subarray(0, done));
      } catch (error) {
        return fail(
          'unreadable',
          path,
          error instanceof Error ? error.message : String(error),
          'Check the disk.',
        );
      }
    };
    return ok({
      name: basename(path),
      size,
      read,
      readAll: () => read(0, size),
      beside(wanted) {
        const found = readdirSync(dirname(path)).find((n) => n.toLowerCase() === wanted.toLowerCase());
        const source = found === undefined ? null : pathSource(join(dirname(path), found));
        return Promise.resolve(source?.ok ? source.value : null);
      },
    });
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    const what = code === 'ENOENT' ? 'does not exist' : code === 'EACCES' ? 'may not be read' : String(error);
    return fail('unreadable', path, what, 'Check the path.');
  }
}
