/** Reads a verb's options; a wrong one is a sentence, not a stack trace. */
import { parseArgs } from 'node:util';
import { fail, ok, type Result } from '../domain/base/result.ts';

export interface Options {
  readonly values: Readonly<Record<string, string[] | undefined>>;
  readonly flags: ReadonlySet<string>;
  readonly rest: readonly string[];
}

/**
 * @param many options with a value; those that may take several words (`--raster A B`) are named in `several`.
 */
export function readOptions(
  verb: string,
  args: readonly string[],
  withValue: readonly string[],
  flags: readonly string[] = [],
  several: readonly string[] = [],
): Result<Options> {
  const spread = spreadSeveral(args, several);
  try {
    const parsed = parseArgs({
      args: spread,
      allowPositionals: true,
      options: {
        ...Object.fromEntries(withValue.map((o) => [o, { type: 'string' as const, multiple: true }])),
        ...Object.fromEntries(flags.map((o) => [o, { type: 'boolean' as const }])),
      },
    });
    const values: Record<string, string[] | undefined> = {};
    const set = new Set<string>();
    for (const [key, value] of Object.entries(parsed.values)) {
      if (Array.isArray(value)) values[key] = value.map(String);
      else if (value === true) set.add(key);
    }
    return ok({ values, flags: set, rest: parsed.positionals });
  } catch (error) {
    const message = error instanceof Error ? error.message.split('\n')[0] : String(error);
    return fail('usage', verb, message.replace(/\.$/, ''), `See kinstand ${verb} --help.`);
  }
}

/** `--raster A B` becomes `--raster A --raster B`. */
function spreadSeveral(args: readonly string[], several: readonly string[]): string[] {
  const out: string[] = [];
  let current: string | null = null;
  let taken = 0;
  for (const arg of args) {
    if (arg.startsWith('-') && !/^-[\d.]/.test(arg)) {
      const name = arg.replace(/^--/, '');
      current = several.includes(name) ? arg : null;
      taken = 0;
      out.push(arg);
    } else if (current !== null) {
      if (taken > 0) out.push(current);
      out.push(arg);
      taken++;
    } else {
      // A negative number is a value, which the standard parser would take for an option.
      const previous = out.at(-1);
      if (/^-[\d.]/.test(arg) && previous?.startsWith('--') && !previous.includes('='))
        out[out.length - 1] = `${previous}=${arg}`;
      else out.push(arg);
    }
  }
  return out;
}

export function one(options: Options, verb: string, name: string): Result<string> {
  const values = options.values[name];
  if (!values || values.length === 0)
    return fail('usage', verb, `--${name} is missing`, `See kinstand ${verb} --help.`);
  if (values.length > 1)
    return fail('usage', verb, `--${name} is given ${values.length} times`, 'Give it once.');
  return ok(values[0]);
}

export function optional(options: Options, name: string): string | null {
  return options.values[name]?.at(-1) ?? null;
}

export function number(text: string, verb: string, name: string, least: number): Result<number> {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value) || value < least) {
    return fail(
      'usage',
      verb,
      `--${name} is "${text}", not a number of at least ${least}`,
      `See kinstand ${verb} --help.`,
    );
  }
  return ok(value);
}

/** "LON,LAT" in degrees. */
export function place(text: string, verb: string, name: string): Result<{ lon: number; lat: number }> {
  const [lon, lat, more] = text.split(',').map((t) => (t.trim() === '' ? NaN : Number(t)));
  if (more !== undefined || !(Math.abs(lon) <= 180) || !(Math.abs(lat) <= 90)) {
    return fail(
      'usage',
      verb,
      `--${name} is "${text}", not LON,LAT in degrees`,
      'For example --site=-83.1,38.9',
    );
  }
  return ok({ lon, lat });
}
