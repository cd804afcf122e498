import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, statSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { planJsonSchema } from '../../src/cli/planJsonSchema.ts';

const tracked = execFileSync('git', ['ls-files', '-z'], { encoding: 'utf8' })
  .split('\0')
  .filter((f) => f !== '' && existsSync(f));
const isText = (f: string): boolean =>
  /\.(ts|mjs|js|json|md|svelte|css|html|csv|sh)$/.test(f) || /(^|\/)(run|\.npmrc|\.gitignore)$/.test(f);
const texts = tracked.filter((f) => isText(f) && statSync(f).size < 2_000_000);

describe('the repository', () => {
  it('has a lock file without registry addresses', () => {
    expect(readFileSync('package-lock.json', 'utf8')).not.toMatch(/"resolved"/);
  });

  it('pins every version exactly', () => {
    const { dependencies, devDependencies } = JSON.parse(readFileSync('package.json', 'utf8')) as Record<
      string,
      Record<string, string>
    >;
    for (const version of Object.values({ ...dependencies, ...devDependencies }))
      expect(version).toMatch(/^\d+\.\d+\.\d+/);
  });

  it('names no registry host and no path of a developer machine', () => {
    // Put together from parts, so that this file does not contain what it looks for.
    const forbidden = [
      ['https?://registry', '\\.'].join(''),
      ['/ro', 'ot/'].join(''),
      ['/wo', 'rk/'].join(''),
    ].map((s) => new RegExp(s));
    for (const file of texts) {
      const text = readFileSync(file, 'utf8');
      for (const pattern of forbidden)
        expect(pattern.test(text), `${file} holds ${pattern.source}`).toBe(false);
    }
  });

  it('publishes the schema that the program checks with', () => {
    expect(JSON.parse(readFileSync('public/plan.schema.json', 'utf8'))).toEqual(planJsonSchema());
  });

  it('keeps its top level to what the guide lists', () => {
    const allowed = new Set(
      (
        'package.json package-lock.json tsconfig.json vite.config.ts eslint.config.js index.html README.md DEVELOPERS.md LICENSE ' +
        '.npmrc .gitignore .prettierrc.json .prettierignore .ci src layers demo-data tests public'
      ).split(' '),
    );
    const top = new Set(tracked.map((f) => f.split('/')[0]));
    expect([...top].filter((t) => !allowed.has(t))).toEqual([]);
  });

  it('names only paths that exist in the guide for developers', () => {
    const guide = readFileSync('DEVELOPERS.md', 'utf8');
    const paths = [...guide.matchAll(/`((?:src|layers|tests|demo-data|public|\.ci)\/[\w./-]*)`/g)].map(
      (m) => m[1],
    );
    expect(paths.length).toBeGreaterThan(20);
    expect(paths.filter((p) => !existsSync(p))).toEqual([]);
  });

  it("keeps what the demo's answers are held against out of the program", () => {
    const code = texts.filter((f) => /^(src|layers|public|index\.html)/.test(f));
    expect(code.length).toBeGreaterThan(300);
    const naming = (words: RegExp): string[] => code.filter((f) => words.test(readFileSync(f, 'utf8')));
    expect(naming(/truth\.json|traps\.json|demo-data\/(lib|make)/)).toEqual([]);
    // The search finds what is there: the program does name the folder.
    expect(naming(/demo-data/)).toContain('src/app/main.ts');
  });

  it('allows scripts, styles and fonts from its own origin only', () => {
    const policy =
      /Content-Security-Policy"\s+content="([^"]+)"/.exec(readFileSync('index.html', 'utf8'))?.[1] ?? '';
    expect(policy).toContain("default-src 'none'");
    for (const part of ['script-src', 'style-src', 'font-src']) {
      const rule = policy.split(';').find((p) => p.trim().startsWith(part)) ?? '';
      expect(rule, part).not.toMatch(/https?:|unsafe-inline|'unsafe-eval'|\*/);
    }
  });
});
