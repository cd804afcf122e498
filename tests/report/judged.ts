/** The demo judged as the program judges it, with all it has and with some of it taken away. */
import type { Candidates } from '../../src/domain/candidates/candidates.ts';
import type { Result } from '../../src/domain/base/result.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { decisions } from '../../src/domain/vetting/origin/decisions.ts';
import { evidenceOf } from '../../src/domain/vetting/origin/evidence.ts';
import { judge } from '../../src/domain/vetting/origin/judge.ts';
import type { OriginColumns } from '../../src/domain/vetting/origin/types.ts';
import { builtInWeights } from '../../src/domain/vetting/origin/weights.ts';
import type { Vetting } from '../../src/domain/vetting/vetting.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk, layersOf, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';
import { bytesOf, plan as file, truth } from '../demo/files.ts';

export interface Judged {
  /** As the sentence of a table calls it. */
  readonly what: string;
  readonly origin: OriginColumns;
}

export interface JudgedDemo {
  readonly candidates: Candidates;
  /** Rows that are trees: those that repeat an earlier record are left out. */
  readonly rows: readonly number[];
  /** Of every row. */
  readonly natural: readonly boolean[];
  readonly kind: readonly string[];
  /** The first has everything. */
  readonly judged: readonly Judged[];
}

const WITHOUT: ReadonlyArray<readonly [string, readonly string[]]> = [
  ['all layers', []],
  ['without land cover', ['land-cover']],
  ['without buildings', ['buildings']],
  ['without land cover and buildings', ['land-cover', 'buildings']],
  ['without settings', ['settings']],
];

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.failure.where}: ${result.failure.what}`);
  return result.value;
}

export async function judgeDemo(): Promise<JudgedDemo> {
  const plan = value(parsePlan(file, 'plan.json'));
  // The match plays no part.
  const planting = { ...plan.plantings[0], variables: [] };
  const desk = createDesk();
  const climate = new Set(plan.plantings[0].variables);
  for (const entry of plan.layers) {
    const path = entry.path ?? '';
    if (!climate.has(entry.id)) value(await openLayer(desk, entry, memorySource(path, bytesOf(path)), {}));
  }
  const candidates = layersOf(desk, 'candidates')[0].candidates;
  if (!candidates) throw new Error('no candidates');

  const vetted: Vetting[] = [];
  for (const [, definitions] of WITHOUT) {
    const layers = new Map([...desk.layers].filter(([, l]) => !definitions.includes(l.entry.definition)));
    const less: Desk = { ...createDesk(), layers };
    vetted.push(value(await vet(less, plan, planting, 'report', {})));
  }
  const judged = WITHOUT.map(([what], k) => ({ what, origin: vetted[k].origin }));
  judged.push({ what: 'without what is written of the tree', origin: unwritten(candidates, vetted[0]) });
  // A record that repeats another is of the same tree.
  const ids = candidates.id.map((id, i) => candidates.id[candidates.duplicateOf[i]] ?? id);
  return {
    candidates,
    rows: candidates.id.map((_, i) => i).filter((i) => candidates.duplicateOf[i] < 0),
    natural: ids.map((id) => truth.originOf(id) === 'natural'),
    kind: ids.map((id) => truth.kindOf.get(id) ?? ''),
    judged,
  };
}

/** Without setting, regeneration, establishment and notes of the notebook, without statements and years of planting. */
function unwritten(candidates: Candidates, { measures, settingNames, evidence }: Vetting): OriginColumns {
  const blank = new Array<string>(candidates.n).fill('');
  const { text } = candidates;
  const bare: Candidates = {
    ...candidates,
    text: {
      ...text,
      setting: blank,
      regeneration: blank,
      establishmentMeans: blank,
      degreeOfEstablishment: blank,
      notes: blank,
    },
  };
  const values = evidenceOf({ candidates: bare, measures, settingNames, settings: evidence });
  return judge(values, builtInWeights, decisions(candidates.id, [], new Map()));
}
