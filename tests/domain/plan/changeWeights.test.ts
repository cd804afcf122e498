import { describe, expect, it } from 'vitest';
import { dropStatement, inverse, setStatement } from '../../../src/domain/plan/change.ts';
import {
  EDITED,
  editedVersion,
  editWeights,
  replaceWeights,
  setEvidence,
  setGrowth,
  withNote,
  withRatio,
  withStep,
} from '../../../src/domain/plan/changeWeights.ts';
import { weightsOf } from '../../../src/domain/vetting/origin/weightsOf.ts';
import { freshPlan } from '../../../src/domain/plan/fresh.ts';
import { parsePlan } from '../../../src/domain/plan/parse.ts';
import { pastVerdicts } from '../../../src/domain/plan/pastVerdicts.ts';
import type { OriginWeights, Plan, Statement } from '../../../src/domain/plan/schema.ts';
import { ORIGIN_VERDICTS } from '../../../src/domain/vetting/origin/types.ts';
import { builtInWeights } from '../../../src/domain/vetting/origin/weights.ts';
import { make } from '../candidates/make.ts';
import { originOf } from '../vetting/make.ts';

/** Trees in woods, in a yard and with nothing known; what they stand beside varies. */
const candidates = make([
  { id: 'wood', text: { setting: 'woodland' } },
  { id: 'yard', text: { setting: 'yard' } },
  { id: 'bare' },
]);
const measured = { building: [400, 5, NaN], developed100: [0.01, 0.9, NaN] };
const judgedBy = (table: OriginWeights) => ({
  ids: candidates.id,
  origin: originOf(candidates, measured, table),
});
const verdictsBy = (table: OriginWeights): string[] =>
  [...judgedBy(table).origin.verdict].map((v) => ORIGIN_VERDICTS[v]);
/** Under it every tree of which enough is known is likely planted. */
const stern: OriginWeights = { ...builtInWeights, version: 'stern', prior: 0.0001 };
const plan = freshPlan('p');
const DAY = '2030-05-01';
const judged = judgedBy(builtInWeights);

describe('a table of weights that goes out of use', () => {
  it('stays on record with the verdicts that its successor changes, and no others', () => {
    expect(verdictsBy(builtInWeights)).toEqual(['likely natural', 'likely planted', 'not enough evidence']);
    expect(verdictsBy(stern)).toEqual(['likely planted', 'likely planted', 'not enough evidence']);
    const change = replaceWeights(plan, stern, 'file stern.json', DAY, judged);
    expect(change.after.originWeights).toBe(stern);
    expect(change.after.pastWeights).toEqual([
      {
        table: builtInWeights,
        version: builtInWeights.version,
        until: DAY,
        why: 'file stern.json',
        verdicts: { wood: { verdict: 'likely natural', probability: judged.origin.probability[0] } },
      },
    ]);
    expect(inverse(change).after).toBe(plan);
    // The plan file takes it, as it is.
    const read = parsePlan(JSON.parse(JSON.stringify(change.after)), 'plan.json');
    expect(read.ok && read.value).toEqual(change.after);
  });

  it('is weighed by itself, also where the screen still shows another one', () => {
    const change = replaceWeights(plan, stern, 'file stern.json', DAY, judgedBy(stern));
    expect(Object.keys(change.after.pastWeights[0].verdicts)).toEqual(['wood']);
  });

  it('keeps no verdicts where nothing is vetted', () => {
    expect(replaceWeights(plan, stern, 'x', DAY, null).after.pastWeights[0].verdicts).toEqual({});
  });

  it('is not put on record for itself', () => {
    const change = replaceWeights(plan, { ...builtInWeights }, 'the built-in table', DAY, judged);
    expect(change.after).toBe(change.before);
  });

  it('that is built in leaves the plan without one when it is taken again', () => {
    const there = replaceWeights(plan, stern, 'file stern.json', DAY, judged).after;
    const back = replaceWeights(
      there,
      builtInWeights,
      'the built-in table',
      '2030-06-01',
      judgedBy(stern),
    ).after;
    expect('originWeights' in back).toBe(false);
    expect(back.pastWeights.map((t) => [t.version, t.until, Object.keys(t.verdicts)])).toEqual([
      [builtInWeights.version, DAY, ['wood']],
      ['stern', '2030-06-01', ['wood']],
    ]);
    expect(pastVerdicts(back, 'wood')).toEqual([
      {
        version: builtInWeights.version,
        until: DAY,
        why: 'file stern.json',
        verdict: 'likely natural',
        probability: judged.origin.probability[0],
      },
      expect.objectContaining({ version: 'stern', verdict: 'likely planted' }),
    ]);
    expect(pastVerdicts(back, 'yard')).toEqual([]);
    // A name that every object has is not a candidate on record.
    expect(pastVerdicts(back, 'toString')).toEqual([]);
  });
});

describe('edits of a table by hand', () => {
  const edit = (from: Plan, part: Partial<OriginWeights>, day = DAY): Plan =>
    editWeights(from, part, day, judged).after;

  it('of one day are one: the table before them is on record once, with all that they changed', () => {
    const once = edit(plan, { prior: 0.9 });
    expect(once.originWeights?.version).toBe(`${builtInWeights.version}, edited`);
    expect(once.pastWeights).toEqual([
      { table: builtInWeights, version: builtInWeights.version, until: DAY, why: EDITED, verdicts: {} },
    ]);
    const twice = edit(once, { prior: stern.prior });
    expect(twice.originWeights?.version).toBe(`${builtInWeights.version}, edited`);
    expect(twice.pastWeights.map((t) => Object.keys(t.verdicts))).toEqual([['wood']]);
    const later = edit(twice, { prior: 1 }, '2030-05-02');
    expect(later.originWeights?.version).toBe(`${builtInWeights.version}, edited 2`);
    expect(later.pastWeights.map((t) => t.version)).toEqual([
      builtInWeights.version,
      `${builtInWeights.version}, edited`,
    ]);
  });

  it('that only name or explain it put nothing on record', () => {
    const named = edit(plan, { version: 'hills 1' });
    expect([named.originWeights?.version, named.pastWeights]).toEqual(['hills 1', []]);
    const noted = edit(named, { pieces: withNote(weightsOf(named), 'building', 'seen here') });
    expect([noted.originWeights?.version, noted.pastWeights]).toEqual(['hills 1', []]);
    expect(edit(plan, { note: 'mine' }).originWeights?.version).toBe(`${builtInWeights.version}, edited`);
    // A table with a name is in use: the next edit puts it on record.
    expect(edit(named, { prior: 2 }).pastWeights.map((t) => t.version)).toEqual(['hills 1']);
  });

  it('that change nothing are no edit', () => {
    const change = editWeights(plan, { prior: builtInWeights.prior }, DAY, judged);
    expect(change.after).toBe(plan);
  });

  it.each([
    ['a', 'a, edited'],
    ['a, edited', 'a, edited 2'],
    ['a, edited 9', 'a, edited 10'],
    ['a, edited by me', 'a, edited by me, edited'],
  ])('of "%s" give "%s"', (from, to) => expect(editedVersion(from)).toBe(to));
});

describe('one entry of a table', () => {
  const table: OriginWeights = {
    version: 't',
    note: '',
    prior: 1,
    pieces: [
      { piece: 'building', steps: [{ below: 10, ratio: 0.2 }, { ratio: 2 }], note: 'n' },
      { piece: 'setting', classes: { yard: 0.2 }, note: '' },
    ],
  };
  it('changes alone', () => {
    expect(withStep(table, 'building', 0, { below: 12, ratio: 0.3 })).toEqual([
      { piece: 'building', steps: [{ below: 12, ratio: 0.3 }, { ratio: 2 }], note: 'n' },
      table.pieces[1],
    ]);
    expect(withRatio(table, 'setting', 'park', 0.5)[1].classes).toEqual({ yard: 0.2, park: 0.5 });
    expect(withNote(table, 'setting', 'why')[1].note).toBe('why');
  });
  it('is added where the table has none', () => {
    expect(withRatio(table, 'cover', 'opening', 2)[2]).toEqual({
      piece: 'cover',
      classes: { opening: 2 },
      note: '',
    });
  });
});

it('settings of the evidence change alone, and a growth factor can be taken back', () => {
  const set = setGrowth(setEvidence(plan, { link: 80 }).after, 'Quercus macrocarpa', 4.5).after;
  expect(set.evidence).toEqual({ ...plan.evidence, link: 80, growth: { 'Quercus macrocarpa': 4.5 } });
  expect(setGrowth(set, 'Quercus macrocarpa', null).after.evidence.growth).toEqual({});
});

it('statements of several people stand side by side; the same one’s anew replaces the old', () => {
  const said = (part: Partial<Statement>): Statement => ({
    candidate: 'a',
    origin: 'natural',
    reason: 'was here before the house',
    by: 'A. Sample',
    date: DAY,
    ...part,
  });
  let p = setStatement(plan, said({})).after;
  p = setStatement(p, said({ how: 'scouted', origin: 'planted', reason: 'nursery tag' })).after;
  p = setStatement(p, said({ by: 'B. Sample' })).after;
  p = setStatement(p, said({ how: 'told', reason: 'said so again' })).after;
  expect(p.statements.map((s) => [s.by, s.how ?? 'told', s.reason])).toEqual([
    ['A. Sample', 'scouted', 'nursery tag'],
    ['B. Sample', 'told', 'was here before the house'],
    ['A. Sample', 'told', 'said so again'],
  ]);
  expect(dropStatement(p, p.statements[0]).after.statements).toEqual(p.statements.slice(1));
});
