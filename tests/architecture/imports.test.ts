import { cruise, type ICruiseResult } from 'dependency-cruiser';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { importRules, STAGES } from './rules.ts';

async function violations(paths: string[], baseDir?: string): Promise<string[]> {
  const result = await cruise(
    paths,
    {
      ruleSet: { forbidden: importRules() },
      validate: true,
      doNotFollow: { path: 'node_modules' },
      tsPreCompilationDeps: true,
      ...(baseDir ? { baseDir } : {}),
    },
    {
      conditionNames: ['svelte', 'browser', 'import', 'types', 'default'],
      exportsFields: ['exports'],
      extensions: ['.ts', '.js', '.svelte', '.json', '.mjs', '.d.ts'],
    },
  );
  return (result.output as ICruiseResult).summary.violations.map(
    (v) => `${v.rule.name}: ${v.from} -> ${v.to}`,
  );
}

describe('rooms', () => {
  it('import only what the house allows', async () => {
    expect(await violations(['src', 'layers'])).toEqual([]);
  });
});

describe('planted offences are caught', () => {
  const dir = mkdtempSync(join(tmpdir(), 'rooms-'));
  afterAll(() => rmSync(dir, { recursive: true }));
  const target = 'export const x = 1;\nexport type X = number;\n';
  const offences: Array<[rule: string, from: string, to: string]> = [
    ['domain-imports-only-domain', 'src/domain/base/a.ts', 'src/io/x.ts'],
    ['io-imports-only-io-domain', 'src/io/b.ts', 'src/jobs/x.ts'],
    ['jobs-imports-only-jobs-io-domain', 'src/jobs/c.ts', 'src/state/x.ts'],
    ['storage-imports-only-storage-domain', 'src/storage/c.ts', 'src/state/x.ts'],
    ['state-imports-only-state-storage-jobs-domain', 'src/state/c.ts', 'src/ui/x.ts'],
    ['map-imports-only-map-domain', 'src/map/d.ts', 'src/state/x.ts'],
    ['ui-imports-only-ui-state-map-domain', 'src/ui/e.ts', 'src/io/x.ts'],
    ['cli-imports-only-cli-jobs-io-domain', 'src/cli/e.ts', 'src/ui/x.ts'],
    ['nothing-imports-app', 'src/ui/f.ts', 'src/app/x.ts'],
    ['state-knows-only-the-client-of-jobs', 'src/state/g.ts', 'src/jobs/handlers/x.ts'],
    ['layer-definitions-are-data', 'layers/h.ts', 'src/domain/vetting/x.ts'],
    ['layers-used-by', 'src/domain/base/i.ts', 'layers/x.ts'],
    ['plan-functions-are-last', 'src/domain/base/j.ts', 'src/domain/plan/schema.ts'],
    ...STAGES.slice(0, -1).map((s, i): [string, string, string] => [
      `domain-${s}-imports-only-earlier-stages`,
      `src/domain/${s}/k.ts`,
      `src/domain/${STAGES[i + 1]}/x${i}.ts`,
    ]),
  ];

  it.each(offences)('%s', async (rule, from, to) => {
    for (const file of [from, to]) mkdirSync(join(dir, dirname(file)), { recursive: true });
    writeFileSync(join(dir, to), target);
    const up = '../'.repeat(from.split('/').length - 1);
    writeFileSync(join(dir, from), `import { x } from '${up}${to}';\nexport const y = x;\n`);
    const found = await violations([from, to], dir);
    rmSync(join(dir, from));
    expect(
      found.some((v) => v.startsWith(`${rule}:`)),
      found.join('\n'),
    ).toBe(true);
  });

  it('no-cycles', async () => {
    mkdirSync(join(dir, 'src/io'), { recursive: true });
    writeFileSync(join(dir, 'src/io/p.ts'), "import { q } from './q.ts';\nexport const p = q;\n");
    writeFileSync(join(dir, 'src/io/q.ts'), "import { p } from './p.ts';\nexport const q = p;\n");
    const found = await violations(['src/io/p.ts', 'src/io/q.ts'], dir);
    expect(found.some((v) => v.startsWith('no-cycles:'))).toBe(true);
  });

  it('node-only-in-cli', async () => {
    mkdirSync(join(dir, 'src/io'), { recursive: true });
    writeFileSync(
      join(dir, 'src/io/n.ts'),
      "import { readFileSync } from 'node:fs';\nexport const n = readFileSync;\n",
    );
    const found = await violations(['src/io/n.ts'], dir);
    expect(found.some((v) => v.startsWith('node-only-in-cli:'))).toBe(true);
  });
});
