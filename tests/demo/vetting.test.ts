/** What the program makes of the demo: every trap is told apart, and both plantings end as the plan says they do. */
import { beforeAll, describe, expect, test } from 'vitest';
import type { Candidates } from '../../src/domain/candidates/candidates.ts';
import { geodesicMetres } from '../../src/domain/base/geodesy.ts';
import { chooseParents } from '../../src/domain/parents/choose.ts';
import type { ParentProblem, ParentSet } from '../../src/domain/parents/types.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { ORIGIN_VERDICTS } from '../../src/domain/vetting/origin/types.ts';
import { ANSWERS } from '../../src/domain/vetting/rules/types.ts';
import { STANDINGS, type Vetting } from '../../src/domain/vetting/vetting.ts';
import type { Result } from '../../src/domain/base/result.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk, layersOf } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';
import { bytesOf, plan as file, trap, traps, truth } from './files.ts';

const ONE = 'figment-white-oak';
const TWO = 'notional-chestnut-oak';
/** Planted trees that no layer and no pattern tells from natural ones. */
const UNTOLD = ['lone in the woods', 'restoration', 'memorial'];

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.failure.where}: ${result.failure.what}`);
  return result.value;
}
const plan = value(parsePlan(file, 'plan.json'));
const planting = (id: string): (typeof plan.plantings)[number] => {
  const found = plan.plantings.find((p) => p.id === id);
  if (!found) throw new Error(id);
  return found;
};

let candidates: Candidates;
const vettings = new Map<string, Vetting>();
const sets = new Map<string, { problem: ParentProblem; set: ParentSet }>();
beforeAll(async () => {
  const desk = createDesk();
  for (const entry of plan.layers) {
    const name = entry.path ?? '';
    value(await openLayer(desk, entry, memorySource(name, bytesOf(name)), {}));
  }
  const read = layersOf(desk, 'candidates')[0].candidates;
  if (!read) throw new Error('no candidates');
  candidates = read;
  for (const p of plan.plantings) {
    const vetting = value(await vet(desk, plan, p, 'test', {}));
    vettings.set(p.id, vetting);
    const problem = {
      ...candidates,
      weight: vetting.weight,
      spacing: p.parents.spacing,
      count: p.parents.count,
      locks: [],
      bans: [],
    };
    sets.set(p.id, { problem, set: chooseParents(problem) });
  }
}, 120_000);

const vettingOf = (id: string): Vetting => vettings.get(id || ONE) as Vetting;
const setOf = (id: string): { problem: ParentProblem; set: ParentSet } =>
  sets.get(id) as { problem: ParentProblem; set: ParentSet };
const rowOf = (id: string): number => candidates.id.indexOf(id);

describe.each(traps.map((t) => [`${t.trap} (${t.planting || 'any'})`, t] as const))(
  '%s',
  (_, { ids, planting: id, expected }) => {
    const some = expected.all ? ids : ids.slice(0, 1);

    if (expected.standing)
      test('stands where it should', () => {
        for (const tree of some)
          expect(STANDINGS[vettingOf(id).standing[rowOf(tree)]], tree).toBe(expected.standing);
      });

    if (expected.findings)
      test('the rules answer as they should', () => {
        for (const [name, answer] of Object.entries(expected.findings ?? {})) {
          const rule = vettingOf(id).findings.rules.find((r) => r.rule === name);
          for (const tree of some)
            expect(ANSWERS[rule?.answer[rowOf(tree)] ?? -1], `${name} of ${tree}`).toBe(answer);
        }
      });

    if (expected.origin)
      test('the origin is judged as it should be', () => {
        for (const tree of ids)
          expect(expected.origin).toContain(ORIGIN_VERDICTS[vettingOf(id).origin.verdict[rowOf(tree)]]);
      });

    if (expected.duplicate)
      test('one record repeats the other', () => {
        const last = rowOf(ids[ids.length - 1]);
        const repeats = [...candidates.duplicateOf.keys()].filter((i) => candidates.duplicateOf[i] >= 0);
        expect(repeats.some((i) => i === last || candidates.duplicateOf[i] === last)).toBe(true);
      });

    if (expected.outsideRange)
      test('the range is as far off as it should be', () => {
        expect(vettingOf(id).measures.range[rowOf(ids[0])]).toBeGreaterThan(expected.outsideRange ?? NaN);
      });

    if (expected.mostMembers)
      test('exactly so many of the trees can be members together', () => {
        const { problem } = setOf(id);
        const own = new Set(ids.map(rowOf));
        const weight = problem.weight.map((w, i) => (own.has(i) ? w : NaN));
        // Asked for one more than there can be.
        const set = chooseParents({ ...problem, weight, count: (expected.mostMembers ?? 0) + 1 });
        expect(set.status).toBe('fewer');
        expect(set.members).toHaveLength(expected.mostMembers ?? NaN);
      });
  },
);

test('only the two planted repeats are taken for repeats', () => {
  const repeats = [...candidates.duplicateOf].filter((d) => d >= 0);
  expect(repeats).toHaveLength(traps.filter((t) => t.expected.duplicate).length);
});

test('planting 1 gets ten members, proven, and clearly more than heaviest-first gives', () => {
  const { problem, set } = setOf(ONE);
  expect(set.status).toBe('optimal');
  expect(set.members).toHaveLength(10);
  const greedy: number[] = [];
  const { lon, lat, weight, spacing } = problem;
  const order = [...weight.keys()].filter((i) => weight[i] > 0).sort((a, b) => weight[b] - weight[a]);
  for (const i of order)
    if (greedy.length < 10 && greedy.every((j) => geodesicMetres(lon[i], lat[i], lon[j], lat[j]) >= spacing))
      greedy.push(i);
  expect(greedy).toHaveLength(10);
  const total = greedy.reduce((sum, i) => sum + weight[i], 0);
  expect(set.total / total - 1).toBeGreaterThan(
    trap('heaviest-first is worse').expected.betterThanGreedy ?? NaN,
  );
});

test('planting 1 has far more eligible trees than members, in several zones', () => {
  const { weight } = setOf(ONE).problem;
  const eligible = [...weight.keys()].filter((i) => weight[i] > 0);
  expect(eligible.length).toBeGreaterThan(40);
  expect(new Set(eligible.map((i) => vettingOf(ONE).measures.zone[i])).size).toBeGreaterThan(2);
});

test('planting 2 gets fewer than ten, with the largest number proven', () => {
  const { set } = setOf(TWO);
  expect(set.status).toBe('fewer');
  expect(set.members).toHaveLength(6);
  expect(set.largestBound).toBe(6);
});

test('no planted tree is a member of either set; planted ones are eligible only where nothing tells them', () => {
  for (const id of [ONE, TWO]) {
    const { set, problem } = setOf(id);
    for (const i of set.members) expect(truth.originOf(candidates.id[i]), candidates.id[i]).toBe('natural');
    const fooled = [...problem.weight.keys()].filter(
      (i) => problem.weight[i] > 0 && truth.originOf(candidates.id[i]) === 'planted',
    );
    for (const i of fooled) expect(UNTOLD).toContain(truth.kindOf.get(candidates.id[i]));
  }
});

test('a day suffices for the members of each planting, by straight lines and the detour', () => {
  for (const id of [ONE, TWO]) {
    const { scouting } = planting(id);
    const { set, problem } = setOf(id);
    if (!scouting.start) throw new Error('no start');
    // Nearest next stop: longer than the best order, so a day that holds this holds the best.
    let at = scouting.start;
    const left = [...set.members];
    let metres = 0;
    const far = (i: number): number => geodesicMetres(at.lon, at.lat, problem.lon[i], problem.lat[i]);
    while (left.length > 0) {
      left.sort((a, b) => far(a) - far(b));
      const next = left.shift() as number;
      metres += far(next);
      at = { lon: problem.lon[next], lat: problem.lat[next], name: '' };
    }
    metres += geodesicMetres(at.lon, at.lat, scouting.start.lon, scouting.start.lat);
    const hours =
      (metres / 1000) * (scouting.detour / scouting.kmh) + (set.members.length * scouting.stopMinutes) / 60;
    expect(hours).toBeLessThan(scouting.hours);
    expect(hours).toBeGreaterThan(2);
  }
});
