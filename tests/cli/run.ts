/** The command as it is run, for tests. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect } from 'vitest';

export function kinstand(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, ['src/cli/kinstand.mjs', ...args], { maxBuffer: 256e6 }, (error, out, err) => {
      resolve({ code: error ? Number(error.code) : 0, out, err });
    });
  });
}

/** The answer of a verb that has nothing to say on standard error. */
export async function json<T>(...args: string[]): Promise<T> {
  const { code, out, err } = await kinstand(...args, '--json');
  expect(err).toBe('');
  expect(code).toBe(0);
  return JSON.parse(out) as T;
}

/** A folder for one file of tests, gone when they are done, and a way to put files into it. */
export function workFolder(name: string): {
  dir: string;
  file(this: void, name: string, text: string): string;
} {
  const dir = mkdtempSync(join(tmpdir(), `${name}-`));
  afterAll(() => rmSync(dir, { recursive: true }));
  return {
    dir,
    file(path, text) {
      const full = join(dir, path);
      writeFileSync(full, text);
      return full;
    },
  };
}
